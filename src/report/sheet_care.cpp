// Cautions in their frame.
#include "report/sheet.h"

#include <algorithm>

namespace buckram::report {
namespace {

constexpr double kHeadTall_mm = 7.6, kBelow_mm = 2.4, kGap_mm = 7;
constexpr int kMostLines = 100;  // a caution is never cut

double column_width(const Sheet& sheet) {
  return (sheet.inner() - 8 - kGap_mm) / 2;
}

Setting setting_of(const Sheet& sheet) {
  return {column_width(sheet) - 3, 1.32, kMostLines};
}

double tall_of(const Sheet& sheet, const std::string& words, const Type& type) {
  const Setting setting = setting_of(sheet);
  return static_cast<double>(set_lines({{words, type}}, setting, sheet.rule).size()) *
             type.size_mm * setting.leading +
         0.5;
}

}  // namespace

std::vector<std::string> cautions_of(const Sheet& sheet) {
  const std::vector<std::string>& own = sheet.subject.verdict.cautions;
  return own.empty() ? advise::standing_cautions() : own;
}

CarePicture care_picture(const Sheet& sheet, std::size_t first, std::size_t end) {
  const std::vector<std::string> all = cautions_of(sheet);
  end = std::min(end, all.size());
  const Type type = sans(2.8);
  Type head = sans(kHead_mm, kInk, 600);
  head.tracking_em = 0.09;
  CarePicture care;
  care.picture.add(Text{{4, 5.6}, "TAKE CARE", head});
  if (end < all.size())
    care.picture.add(Text{{sheet.inner() - 4, 5.6},
                          "goes on, on the next page of the set-up: read all of it first",
                          sans(kNote_mm, kInk, 600),
                          Anchor::end});
  double half = 0;
  for (std::size_t k = first; k < end; ++k) half += tall_of(sheet, all[k], type) / 2;
  double y = kHeadTall_mm, x = 4, lowest = y, done = 0;
  bool is_second = false;
  for (std::size_t k = first; k < end; ++k) {
    const double tall = tall_of(sheet, all[k], type);
    // The second column starts where the two come out most alike.
    if (!is_second && done + tall / 2 > half && done > 0)
      is_second = true, x += column_width(sheet) + kGap_mm, y = kHeadTall_mm;
    care.picture.add(Text{{x, y + type.size_mm}, "–", type});
    draw_paragraph(care.picture, x + 3, y, {{all[k], type}}, setting_of(sheet), sheet.rule);
    y += tall, done += tall;
    lowest = std::max(lowest, y);
  }
  care.tall = lowest + kBelow_mm;
  care.picture.stroke(rectangle(0.25, 0.25, sheet.inner() - 0.5, care.tall - 0.5),
                      {kInk, 0.5, {}, false});
  return care;
}

std::size_t cautions_within(const Sheet& sheet, std::size_t first, double most_tall) {
  const std::size_t n = cautions_of(sheet).size();
  std::size_t end = n;
  while (end > first + 1 && care_picture(sheet, first, end).tall > most_tall) --end;
  return end;
}

}  // namespace buckram::report
