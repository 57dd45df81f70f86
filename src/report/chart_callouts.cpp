// The worst places: found, named, and led out of the artwork into free land.
#include "report/chart_words.h"
#include "report/paragraph.h"
#include "report/parts.h"
#include "report/words.h"

#include <algorithm>
#include <cmath>
#include <map>
#include <numeric>
#include <optional>

namespace buckram::report {
namespace {

using geometry::Box;
using geometry::Point;

constexpr double kNear_mm = 5;  // what counts as one place
constexpr double kRing_mm = 1.75;
constexpr double kPin_px = 8.5;

std::string where_words(const Subject& subject, Point at) {
  const bool has_seam = subject.setup.cap.has_seam && subject.setup.mount.seam_is_on;
  const std::string line = has_seam ? "the seam" : "the centre line";
  if (std::abs(at.x) < 1.5) return "on " + line;
  const std::string side = at.x < 0 ? "left" : "right";
  if (std::abs(at.x) < 8) return side + " of " + line;
  if (at.y < subject.artwork_box.y0 + 4) return side + " side, lower edge";
  if (at.y > subject.artwork_box.y1 - 4) return side + " side, top edge";
  return side + " side";
}

// "left" beside "left of the seam"; beside a height also "bottom" and "2nd of 2 from the top".
bool is_told(std::string_view piece, std::string_view where) {
  const bool has_height = where.ends_with(" up");
  if (has_height && piece.find(" from the ") != std::string_view::npos) return true;
  if (std::count(piece.begin(), piece.end(), ' ') > 1) return false;
  for (const std::string_view word : {"left", "right", "top", "bottom", "middle"}) {
    if (piece.find(word) == std::string_view::npos) continue;
    const bool is_side = word == "left" || word == "right";
    if (where.find(word) != std::string_view::npos || (has_height && !is_side)) return true;
  }
  return false;
}

double share_near(const Subject& subject, Point at) {
  const std::vector<double>& hazard = subject.verdict.forecast->hazard;
  double near = 0, all = 0;
  for (int i = 0; i < subject.plan.size() && i < static_cast<int>(hazard.size()); ++i) {
    const double p = hazard[static_cast<std::size_t>(i)];
    all += p;
    if (p > 0 && geometry::distance(subject.plan.at(i), at) < kNear_mm) near += p;
  }
  return all > 0 ? near / all : 0;
}

int object_at(const stitch::Plan& plan, int entry) {
  for (const stitch::Block& block : plan.blocks)
    if (entry >= block.first && entry < block.first + block.count) return block.object;
  return 0;
}

// Where the words of each callout stand: picture y of the disc, side -1 or 1.
struct Stand {
  std::size_t place = 0;
  double side = 1, y = 0;
};

// Each on the side where its place lies (the seam's own in turn), so that no leader crosses the
// artwork; from a side that is full the places nearest to the middle go to the other.
std::vector<double> sides_of(const std::vector<Callout>& places, std::size_t most_on_a_side) {
  std::vector<double> sides;
  double turn = 1;
  for (const Callout& place : places) {
    const bool is_middle = std::abs(place.at.x) < 1.5;
    sides.push_back(is_middle ? turn : place.at.x < 0 ? -1 : 1);
    if (is_middle) turn = -turn;
  }
  for (const double side : {1.0, -1.0}) {
    while (static_cast<std::size_t>(std::count(sides.begin(), sides.end(), side)) >
           std::max(most_on_a_side, (places.size() + 1) / 2)) {
      std::size_t nearest = places.size();
      for (std::size_t k = 0; k < places.size(); ++k) {
        const bool is_nearer =
            nearest == places.size() || std::abs(places[k].at.x) < std::abs(places[nearest].at.x);
        if (sides[k] == side && is_nearer) nearest = k;
      }
      sides[nearest] = -side;
    }
  }
  return sides;
}

// From the bill up on each side, so that leaders seldom cross; then pushed apart.
std::vector<Stand> stands(const std::vector<Callout>& places, const Box& window, double apart) {
  std::vector<std::size_t> order(places.size());
  std::iota(order.begin(), order.end(), std::size_t{0});
  std::stable_sort(order.begin(), order.end(),
                   [&](std::size_t a, std::size_t b) { return places[a].at.y < places[b].at.y; });
  std::vector<Stand> all;
  const auto room = static_cast<std::size_t>(std::max(1.0, window.height() / apart - 1));
  const std::vector<double> sides = sides_of(places, room);
  for (const std::size_t k : order) all.push_back({k, sides[k], -places[k].at.y - 1});
  const double lowest = -window.y0 - std::max(0.8 * apart, 16.0), highest = -window.y1 + apart;
  for (const double side : {1.0, -1.0}) {
    double limit = lowest;  // from the bill up
    for (Stand& s : all)
      if (s.side == side) s.y = std::min(s.y, limit), limit = s.y - apart;
    limit = highest;  // and back when the top is passed
    for (auto s = all.rbegin(); s != all.rend(); ++s)
      if (s->side == side) s->y = std::max(s->y, limit), limit = s->y + apart;
  }
  return all;
}

// A disc with its two lines beside it.
struct Words {
  Point pin;
  std::vector<Text> texts;
  Box box;

  void move_up(double mm) {
    pin.y -= mm, box.y0 -= mm, box.y1 -= mm;
    for (Text& text : texts) text.at.y -= mm;
  }
};

// Sets the words below each other from `y`, as many lines as they need; returns the next base line.
double add_lines(std::vector<Text>& texts, const std::string& words, const Text& as, double y,
                 double room, const TypeRule& rule) {
  for (const Line& line : set_lines({{words, as.type}}, {room, 1.2, 4}, rule)) {
    Text text = as;
    text.at.y = y;
    text.words.clear();
    for (const Text& piece : line.texts) text.words += piece.words;
    texts.push_back(std::move(text));
    y += 1.12 * as.type.size_mm;
  }
  return y;
}

Words words_of(const Callout& c, const Stand& stand, const Box& art, const Box& window,
               const Look& look, bool has_words) {
  const Type title{Face::serif, 15 * look.px_mm, 400, false, kInk, 0};
  const Type detail{Face::sans, 12 * look.px_mm, 400, false, kInk2, 0};
  const double edge = stand.side > 0 ? std::max(0.0, art.x1) : std::max(0.0, -art.x0);
  const double limit = (stand.side > 0 ? window.x1 : -window.x0) - 12 * look.px_mm;
  const double r = kPin_px * look.px_mm, halo = 6 * look.px_mm;
  Words out{{stand.side * std::min(edge + 5, limit), stand.y}, {}, {}};
  out.box = {out.pin.x - r, out.pin.y - r, out.pin.x + r, out.pin.y + r};
  const double x = out.pin.x + stand.side * 14 * look.px_mm;
  const double room = (stand.side > 0 ? window.x1 - x : x - window.x0) - 4 * look.px_mm;
  if (!has_words || room < 4 * title.size_mm) return out;
  const Anchor anchor = stand.side > 0 ? Anchor::start : Anchor::end;
  const std::string share = c.detail + " · " + percent(c.share);
  const double below =
      add_lines(out.texts, c.object + ", " + c.where,
                {{x, 0}, "", title, anchor, 0, halo, look.land}, stand.y, room, *look.rule);
  add_lines(out.texts, share + " of the risk", {{x, 0}, "", detail, anchor, 0, halo, look.land},
            below + 1.3 * detail.size_mm - 1.12 * title.size_mm, room, *look.rule);
  for (const Text& text : out.texts) out.box.add(text_box(text, *look.rule));
  return out;
}

// Clears contours and dots away under the words.
void put_card(Picture& picture, const std::vector<Text>& texts, const Look& look) {
  Box box;
  for (const Text& text : texts) box.add(text_box(text, *look.rule));
  if (box.empty()) return;
  const double room = 3 * look.px_mm;
  picture.fill(
      rectangle(box.x0 - room, box.y0 - room, box.width() + 2 * room, box.height() + 2 * room),
      with_opacity(look.land, 0.88));
}

// From the ring to the disc; later words keep clear of it.
void draw_leader(Picture& picture, Point from, Point pin, const Look& look, Occupied& taken) {
  const Point away = geometry::unit(pin - from);
  const Point a = from + away * kRing_mm, b = pin - away * (kPin_px * look.px_mm);
  picture.stroke(line_between(a, b), {look.paper, 4 * look.px_mm, {}, true});
  picture.stroke(line_between(a, b), {kAccent, 1.2 * look.px_mm, {}, true});
  const int n = std::max(1, static_cast<int>(geometry::distance(a, b)));
  for (int k = 0; k <= n; ++k) {
    const Point p = geometry::mix(a, b, static_cast<double>(k) / n);
    taken.boxes.push_back({p.x - 0.5, p.y - 0.3, p.x + 0.5, p.y + 0.3});
  }
}

void draw_ring(Picture& picture, Point at, const Look& look) {
  picture.add(Disc{at, kRing_mm, {}, Pen{look.paper, 5 * look.px_mm, {}, true}});
  picture.add(Disc{at, kRing_mm, {}, Pen{kAccent, 2.2 * look.px_mm, {}, true}});
}

// Millimetres of the way from a to b within the artwork's box.
double within_box(Point a, Point b, const Box& art) {
  constexpr int kSteps = 100;
  int n = 0;
  for (int k = 0; k < kSteps; ++k) {
    const Point p = geometry::mix(a, b, (k + 0.5) / kSteps);
    n += p.x > art.x0 && p.x < art.x1 && p.y > -art.y1 && p.y < -art.y0;
  }
  return geometry::distance(a, b) * n / kSteps;
}

// Where the number of `c` stands without words, or nothing where it stands at the side: a leader
// across half a crest is short enough to keep the words, one across a wordmark is not.
std::optional<Point> bare_pin(const std::vector<Callout>& places, const Callout& c, Point side,
                              const Box& art, const SewnLand& land, const Look& look,
                              bool has_words, const Occupied& taken) {
  constexpr double kShort_mm = 22, kWordsAreWorth_mm = 25;
  const Point at = on_picture(c.at);
  if (has_words && within_box(at, side, art) < kShort_mm) return std::nullopt;
  const auto is_free = [&](const Box& box) {
    return taken.is_free(box, 2 * look.px_mm) &&
           std::none_of(places.begin(), places.end(), [&](const Callout& other) {
             return box.meets({other.at.x, -other.at.y, other.at.x, -other.at.y}, kRing_mm + 0.5);
           });
  };
  // A leader over another place's ring, or over what stands there already, could be read as its
  // own.
  const auto in_the_way = [&](Point pin) {
    double cost = 0;
    for (int k = 1; k <= 20; ++k) {
      const Point p = geometry::mix(at, pin, k / 20.0);
      for (const Callout& other : places)
        if (other.number != c.number &&
            geometry::distance(p, on_picture(other.at)) < kRing_mm + 0.4)
          cost += 8;
      if (!taken.is_free({p.x, p.y, p.x, p.y}, 0)) cost += 8;
    }
    return cost;
  };
  const auto found =
      nearest_pin(land, at, kRing_mm, kPin_px * look.px_mm + 0.4, is_free, in_the_way);
  if (!found) return std::nullopt;
  const double aside = leader_cost(land, at, kRing_mm, side) + in_the_way(side);
  if (has_words && aside < found->cost_mm + kWordsAreWorth_mm) return std::nullopt;
  return found->at;
}

}  // namespace

std::vector<Callout> callouts(const Subject& subject, std::size_t most) {
  std::vector<Callout> out;
  if (!subject.verdict.forecast) return out;
  const PartNames names = name_parts(subject.plan);
  for (const needle::WorstPlace& worst : subject.verdict.forecast->worst) {
    if (out.size() >= most) break;
    Callout c;
    c.number = static_cast<int>(out.size()) + 1;
    c.at = worst.at;
    c.entry = worst.entry;
    c.share = share_near(subject, worst.at);
    const PartName& part = part_name(names, object_at(subject.plan, worst.entry));
    c.object = part.brief;
    c.part = part.full;
    c.where = where_words(subject, worst.at);
    out.push_back(std::move(c));
  }
  // Places of one name on one side are told apart by their height.
  std::map<std::string, int> n_alike;
  for (const Callout& c : out) ++n_alike[c.object + c.where];
  for (Callout& c : out)
    if (n_alike[c.object + c.where] > 1) c.where += ", " + millimetres(c.at.y, 0) + " up";
  return out;
}

std::string part_beside(const Callout& place) {
  std::string out;
  for (std::size_t at = 0; at <= place.part.size();) {
    const std::size_t end = std::min(place.part.find(", ", at), place.part.size());
    const std::string piece = place.part.substr(at, end - at);
    if (out.empty() || !is_told(piece, place.where)) out += (out.empty() ? "" : ", ") + piece;
    at = end + 2;
  }
  return out;
}

void draw_pin(Picture& picture, Point at, int number, const Look& look, double radius_px) {
  const double r = radius_px * look.px_mm;
  picture.add(Disc{at, r, kAccent, Pen{look.paper, 1.5 * look.px_mm, {}, true}});
  const Type type{Face::sans, (number > 9 ? 1.15 : 1.4) * r, 700, false, kWhite, 0};
  picture.add(
      Text{{at.x, at.y + 0.36 * type.size_mm}, std::to_string(number), type, Anchor::middle});
}

void draw_callouts(Picture& picture, const std::vector<Callout>& places, const Box& art,
                   const Box& window, const Look& look, const SewnLand& land, bool has_words,
                   Occupied& taken) {
  for (const Callout& c : places) draw_ring(picture, on_picture(c.at), look);
  const double apart = (has_words ? 40 : 24) * look.px_mm;
  std::vector<Callout> beside;  // with words at the sides
  for (const Stand& stand : stands(places, window, apart)) {
    const Callout& c = places[stand.place];
    const Point side = words_of(c, stand, art, window, look, has_words).pin;
    const std::optional<Point> pin = bare_pin(places, c, side, art, land, look, has_words, taken);
    if (!pin) {
      beside.push_back(c);
      continue;
    }
    const double r = kPin_px * look.px_mm;
    taken.boxes.push_back({pin->x - r, pin->y - r, pin->x + r, pin->y + r});
    draw_leader(picture, on_picture(c.at), *pin, look, taken);
    draw_pin(picture, *pin, c.number, look, kPin_px);
  }
  for (const Stand& stand : stands(beside, window, apart)) {
    const Callout& c = beside[stand.place];
    Words words = words_of(c, stand, art, window, look, has_words);
    // What is there already (a reading, an earlier callout) is kept clear: a step up at a time.
    for (int step = 0; step < 12 && !taken.is_free(words.box, 2 * look.px_mm); ++step)
      words.move_up(0.2 * apart);
    taken.boxes.push_back(words.box);
    put_card(picture, words.texts, look);
    draw_leader(picture, on_picture(c.at), words.pin, look, taken);
    draw_pin(picture, words.pin, c.number, look, kPin_px);
    for (Text& text : words.texts) picture.add(std::move(text));
  }
}

}  // namespace buckram::report
