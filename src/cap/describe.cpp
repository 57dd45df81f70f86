#include "cap/describe.h"

#include <fmt/format.h>

namespace buckram::cap {
namespace {

using base::Error;
using base::ErrorCode;
using base::Table;

std::vector<ProfilePlace> read_places(const Table& t) {
  std::vector<ProfilePlace> places;
  for (const Table& row : t.tables("profile")) {
    places.push_back({row.number("height_mm", {1, 200}), row.number("setback_mm", {-10, 130})});
    row.refuse_unknown();
    if (places.size() < 2 || places.back().height_mm > places[places.size() - 2].height_mm)
      continue;
    throw Error{ErrorCode::bad_data, "is not above the place before", row.where() + ": height_mm",
                "Give the places from the bill seam up"};
  }
  if (places.size() >= 3) return places;
  throw Error{ErrorCode::bad_data,
              fmt::format("gives too few places of the front's profile: {}", places.size()),
              t.where() + ": profile",
              "Measure three or more, each as [[profile]] with height_mm and setback_mm"};
}

// Name and the words of where the figures come from, unless the measures say so themselves.
void sign(Table& t, const Table& measures, const std::string& where, const std::string& name,
          const std::string& like) {
  t.set("name", base::toml_text(name));
  if (!measures.has("title")) t.set("title", base::toml_text(name));
  if (!measures.has("source"))
    t.set("source", base::toml_text(fmt::format("measured, {}; the rest as {}", where, like)));
}

}  // namespace

DescribedCap describe_cap(std::string_view text, const std::string& where, const std::string& name,
                          const FindSource& find) {
  const Table measures = Table::parse(text, where);
  const std::string like = measures.text("like");
  const Table below = Table::parse(find(like), like);
  const CrownShape like_crown = read_cap(below).crown;
  if (measures.has("crown")) {
    throw Error{ErrorCode::bad_data, "is what the measured profile is for", where + ": crown",
                "Leave the table out"};
  }
  DescribedCap described;
  described.places = read_places(measures);
  const double around_mm = measures.number("circumference_mm", {377, 816});
  const auto to_button_mm = measures.maybe_number("to_button_mm", {60, 300});
  described.fit =
      fit_crown(around_mm / (2 * base::kPi), described.places, to_button_mm, like_crown);
  if (!described.fit.has_settled) {
    throw Error{ErrorCode::bad_data, "no profile of a cap's front fits these places",
                where + ": profile", "Measure again, the straightedge upright on the bill seam"};
  }
  Table t = measures.over(below, {"like", "profile", "circumference_mm", "to_button_mm"});
  sign(t, measures, where, name, like);
  described.cap = read_cap(t);
  described.cap.crown = described.fit.shape;
  return described;
}

Mount describe_mount(std::string_view text, const std::string& where, const std::string& name,
                     const FindSource& find) {
  const Table measures = Table::parse(text, where);
  const std::string like = measures.text("like");
  const Table below = Table::parse(find(like), like);
  read_mount(below);  // a fault of its own is told as its own
  Table t = measures.over(below, {"like"});
  sign(t, measures, where, name, like);
  return read_mount(t);
}

}  // namespace buckram::cap
