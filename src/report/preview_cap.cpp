#include "report/preview.h"

#include "base/base.h"

#include <algorithm>
#include <array>
#include <cmath>

namespace buckram::report {
namespace {

using geometry::Point;

constexpr double kTwill_mm = 0.95;  // the weave's diagonal, crest to crest

struct Corner {
  Point px;          // where it is seen
  double light = 1;  // factor on the cloth's colour
  Point cloth;       // place on the cloth, mm, for the weave
  double weave = 1;  // how much of the weave is told apart: less where the cloth turns away
};

// Brightness to colour, by table: above 1 the cloth goes towards white, as matt cloth does.
class Shades {
 public:
  explicit Shades(Colour cloth) {
    for (int k = 0; k < kSteps; ++k) {
      const double light = static_cast<double>(kMost) * k / (kSteps - 1);
      const double lift = std::max(0.0, light - 1) * 0.55, dim = std::min(light, 1.0);
      const auto channel = [&](int c) {
        return static_cast<std::uint32_t>(std::clamp(c * dim + (255 - c) * lift, 0.0, 255.0) + 0.5);
      };
      table_[static_cast<std::size_t>(k)] =
          0xff000000u | channel(cloth.r) << 16 | channel(cloth.g) << 8 | channel(cloth.b);
    }
  }
  std::uint32_t at(float light) const {
    const int k = static_cast<int>(light * (static_cast<float>(kSteps - 1) / kMost) + 0.5f);
    return table_[static_cast<std::size_t>(std::clamp(k, 0, kSteps - 1))];
  }

 private:
  static constexpr int kSteps = 1024;
  static constexpr float kMost = 1.6f;
  std::array<std::uint32_t, kSteps> table_;
};

// A brightness wave across the weave, cheap: a triangle wave of +-1 by its phase.
float weave(float phase) {
  return 4 * std::abs(phase - static_cast<float>(static_cast<int>(phase)) - 0.5f) - 1;
}

void fill_triangle(Pixels& pixels, const Shades& shades, const Corner& a, const Corner& b,
                   const Corner& c) {
  const double twice = geometry::cross(b.px - a.px, c.px - a.px);
  if (std::abs(twice) < 1e-9) return;
  const int y0 =
      std::max(0, static_cast<int>(std::floor(std::min({a.px.y, b.px.y, c.px.y}) - 0.5)));
  const int y1 =
      std::min(pixels.height - 1, static_cast<int>(std::ceil(std::max({a.px.y, b.px.y, c.px.y}))));
  const int x0 =
      std::max(0, static_cast<int>(std::floor(std::min({a.px.x, b.px.x, c.px.x}) - 0.5)));
  const int x1 =
      std::min(pixels.width - 1, static_cast<int>(std::ceil(std::max({a.px.x, b.px.x, c.px.x}))));
  constexpr float kSlack = 1e-3f;  // neighbours overlap a little rather than leave a gap
  // The phase is kept positive, so that cutting it to a whole number rounds down.
  const auto phase_of = [](const Corner& k) {
    return static_cast<float>((k.cloth.x + k.cloth.y) / kTwill_mm + 4096);
  };
  const auto light_of = [](const Corner& k) { return static_cast<float>(k.light); };
  const float lb = light_of(b) - light_of(a), lc = light_of(c) - light_of(a);
  const float pb = phase_of(b) - phase_of(a), pc = phase_of(c) - phase_of(a);
  const auto du = static_cast<float>((c.px.y - a.px.y) / twice);
  const auto dv = static_cast<float>(-(b.px.y - a.px.y) / twice);
  const auto strength = static_cast<float>(0.03 * a.weave);
  for (int y = y0; y <= y1; ++y) {
    const Point p{x0 + 0.5, y + 0.5};
    auto u = static_cast<float>(geometry::cross(p - a.px, c.px - a.px) / twice);
    auto v = static_cast<float>(geometry::cross(b.px - a.px, p - a.px) / twice);
    std::uint32_t* row =
        pixels.argb.data() + static_cast<std::size_t>(y) * static_cast<std::size_t>(pixels.width);
    for (int x = x0; x <= x1; ++x, u += du, v += dv) {
      if (u < -kSlack || v < -kSlack || u + v > 1 + kSlack) continue;
      const float light = light_of(a) + u * lb + v * lc;
      row[x] = shades.at(light * (1 + strength * weave(phase_of(a) + u * pb + v * pc)));
    }
  }
}

// Cloth scatters light round its edges: the cosine is taken half way to the shaded side.
double diffuse(Vec3 normal_in_view) {
  const double d = 0.5 + 0.5 * dot(normal_in_view, light_direction());
  return 0.40 + 0.74 * d * d;
}

Corner crown_corner(const Stage& stage, double a, double y) {
  const Vec3 n = stage.view.in_view(stage.view.normal(a, y));
  const double crease = 1 - 0.42 * std::exp(-y / 3.5);  // where the bill meets the crown
  const double r = stage.view.profile().radius(y);
  return {stage.to_pixels(stage.view.seen(stage.view.crown(a, y))),
          diffuse(n) * crease,
          {a * r, y},
          n.z * n.z * n.z};
}

void shade_crown(Pixels& pixels, const Stage& stage) {
  const Shades shades(stage.cloth);
  constexpr int kAround = 120, kUp = 64;
  const auto corner = [&](int i, int j) {
    return crown_corner(stage, -base::kPi * 0.62 + base::kPi * 1.24 * i / kAround,
                        stage.view.top() * j / kUp);
  };
  std::vector<Corner> row, next;
  for (int i = 0; i <= kAround; ++i) row.push_back(corner(i, 0));
  for (int j = 0; j < kUp; ++j, row.swap(next)) {
    next.clear();
    for (int i = 0; i <= kAround; ++i) next.push_back(corner(i, j + 1));
    for (int i = 0; i < kAround; ++i) {
      const auto k = static_cast<std::size_t>(i);
      // Facing the viewer: seen anticlockwise with y down.
      if (geometry::cross(row[k + 1].px - row[k].px, next[k].px - row[k].px) >= 0) continue;
      fill_triangle(pixels, shades, row[k], row[k + 1], next[k]);
      fill_triangle(pixels, shades, row[k + 1], next[k + 1], next[k]);
    }
  }
}

void shade_bill(Pixels& pixels, const Stage& stage) {
  const Shades shades(stage.cloth);
  constexpr int kAlong = 60, kOut = 14;
  const auto corner = [&](int i, int j) {
    const double t = -1 + 2.0 * i / kAlong, out = static_cast<double>(j) / kOut;
    const Vec3 p = stage.view.bill(t, out);
    const Vec3 across = stage.view.bill(std::min(1.0, t + 0.02), out) -
                        stage.view.bill(std::max(-1.0, t - 0.02), out);
    const Vec3 along = stage.view.bill(t, std::min(1.0, out + 0.05)) -
                       stage.view.bill(t, std::max(0.0, out - 0.05));
    Vec3 n = unit(stage.view.in_view(cross(along, across)));
    if (n.y < 0) n = n * -1;
    const double shade = 1 - 0.45 * std::exp(-out * 68 / 7);  // the crown's own shadow
    return Corner{stage.to_pixels(stage.view.seen(p)), diffuse(n) * shade * 0.94, {p.x, p.y}, 0};
  };
  for (int j = kOut - 1; j >= 0; --j) {
    for (int i = 0; i < kAlong; ++i) {
      const Corner a = corner(i, j), b = corner(i + 1, j), c = corner(i, j + 1),
                   d = corner(i + 1, j + 1);
      fill_triangle(pixels, shades, a, b, c);
      fill_triangle(pixels, shades, b, d, c);
    }
  }
}

geometry::Polyline bill_row(const Stage& stage, double out, double margin) {
  geometry::Polyline row;
  for (int k = 0; k <= 80; ++k) {
    const double t = -1 + 2.0 * k / 80;
    if (std::abs(t) <= 1 - margin) row.push_back(stage.view.seen(stage.view.bill(t, out)));
  }
  return row;
}

void paint_bill(Pixels& pixels, const Stage& stage) {
  Path outline;
  geometry::Polyline around = bill_row(stage, 0, 0);
  const geometry::Polyline edge = bill_row(stage, 1, 0);
  around.insert(around.end(), edge.rbegin(), edge.rend());
  outline.add(around, true);
  Picture under;  // the bill's thickness shows below its edge
  Path rim;
  rim.add(edge, false);
  under.stroke(rim, {mix(stage.cloth, kBlack, 0.62), 2.6, {}, true});
  paint(pixels, under, stage.to_pixels);
  Pixels shaded_bill = make_pixels(pixels.width, pixels.height, mix(stage.cloth, kBlack, 0.3));
  shade_bill(shaded_bill, stage);
  paint_through(pixels, std::move(shaded_bill), outline, stage.to_pixels);
  Picture rows;
  rows.add(Open{{}, outline, 1, {}});
  Path stitched;
  for (int k = 1; k < 8; ++k) stitched.add(bill_row(stage, k / 8.0, 0.06), false);
  rows.stroke(stitched, {with_opacity(mix(stage.cloth, kBlack, 0.6), 0.5), 0.5, {}, true});
  rows.stroke(std::move(stitched),
              {with_opacity(mix(stage.cloth, kWhite, 0.3), 0.75), 0.28, {1.7, 1.1}, false});
  rows.add(Close{});
  rows.stroke(std::move(rim), {with_opacity(mix(stage.cloth, kWhite, 0.35), 0.5), 0.5, {}, true});
  paint(pixels, rows, stage.to_pixels);
}

// A line up the crown at angle `a`, `aside_mm` beside it.
Path meridian(const Stage& stage, double a, double aside_mm) {
  Path path;
  bool is_open = false;
  for (int k = 0; k <= 100; ++k) {
    const double y = stage.view.top() * k / 100, r = std::max(4.0, stage.view.profile().radius(y));
    const double angle = a + aside_mm / r;
    const bool is_seen =
        stage.view.in_view(stage.view.normal(angle, std::min(y, stage.view.top() - 1))).z > 0.02;
    if (is_seen) {
      const Point p = stage.view.seen(stage.view.crown(angle, y));
      if (is_open)
        path.line(p);
      else
        path.move(p);
    }
    is_open = is_seen;
  }
  return path;
}

void draw_seam(Picture& picture, const Stage& stage, double a) {
  const Colour dark = mix(stage.cloth, kBlack, 0.65), light = mix(stage.cloth, kWhite, 0.4);
  const auto put = [&](double aside, Pen pen) {
    Path path = meridian(stage, a, aside);
    if (!path.empty()) picture.stroke(std::move(path), std::move(pen));
  };
  put(0, {with_opacity(dark, 0.55), 0.7, {}, true});
  put(0.55, {with_opacity(light, 0.35), 0.4, {}, true});
  for (const double aside : {-3.2, 3.2}) {
    put(aside + 0.2, {with_opacity(dark, 0.35), 0.5, {}, true});
    put(aside, {with_opacity(light, 0.7), 0.34, {2.0, 0.9}, false});
  }
}

void draw_eyelets(Picture& picture, const Stage& stage, const cap::Cap& cap) {
  const double y0 = eyelet_arc_mm(cap);
  const double r0 = stage.view.profile().radius(y0);
  for (const double a0 : eyelet_angles(cap, stage.view.profile())) {
    if (stage.view.in_view(stage.view.normal(a0, y0)).z < 0.1) continue;
    const auto ring = [&](double radius) {
      geometry::Polyline points;
      for (int k = 0; k < 32; ++k) {
        const double t = 2 * base::kPi * k / 32;
        points.push_back(stage.view.seen(
            stage.view.crown(a0 + radius * std::cos(t) / r0, y0 + radius * std::sin(t))));
      }
      Path path;
      path.add(points, true);
      return path;
    };
    picture.fill(ring(4.1), with_opacity(kBlack, 0.18));
    picture.draw(ring(2.9), {}, {mix(stage.cloth, kBlack, 0.35), 2.0, {}, true});
    picture.draw(ring(2.9), {},
                 {with_opacity(mix(stage.cloth, kWhite, 0.35), 0.8), 1.7, {0.35, 0.35}, false});
    picture.fill(ring(1.9), mix(stage.cloth, kBlack, 0.85));
  }
}

void draw_button(Picture& picture, const Stage& stage) {
  const Point top = stage.view.seen(stage.view.crown(0, stage.view.top()));
  const auto blob = [&](double rx, double ry, double dx, double dy) {
    geometry::Polyline points;
    for (int k = 0; k < 40; ++k) {
      const double t = 2 * base::kPi * k / 40;
      points.push_back({top.x + dx + rx * std::cos(t), top.y + dy + ry * std::sin(t)});
    }
    Path path;
    path.add(points, true);
    return path;
  };
  picture.fill(blob(7.5, 2.9, 0, -0.6), mix(stage.cloth, kBlack, 0.45));
  picture.fill(blob(7.0, 2.5, -0.2, -0.9), mix(stage.cloth, kBlack, 0.12));
  picture.fill(blob(4.2, 1.3, -1.1, -1.5), with_opacity(mix(stage.cloth, kWhite, 0.35), 0.7));
}

void draw_ground_shadow(Picture& picture, const Stage& stage) {
  geometry::Box box;
  for (int k = 0; k <= 60; ++k) box.add(stage.view.seen(stage.view.bill(-1 + 2.0 * k / 60, 1)));
  const Point m{box.middle().x + 2, box.y1 + 0.5};
  for (int k = 0; k < 14; ++k) {
    const double grow = 1 - k / 14.0;
    geometry::Polyline points;
    for (int i = 0; i < 72; ++i) {
      const double t = 2 * base::kPi * i / 72;
      points.push_back({m.x + (box.width() * 0.42 + 9 * grow) * std::cos(t),
                        m.y + (2 + 6.5 * grow) * std::sin(t)});
    }
    Path path;
    path.add(points, true);
    picture.fill(std::move(path), with_opacity(kInk, 0.022));
  }
}

}  // namespace

void paint_cap(Pixels& pixels, const Stage& stage, const cap::Cap& cap) {
  Picture ground;
  draw_ground_shadow(ground, stage);
  paint(pixels, ground, stage.to_pixels);
  paint_bill(pixels, stage);
  Path body;
  body.add(stage.view.silhouette(), true);
  Pixels crown = make_pixels(pixels.width, pixels.height, mix(stage.cloth, kBlack, 0.45));
  shade_crown(crown, stage);
  paint_through(pixels, std::move(crown), body, stage.to_pixels);
  Picture lines;
  lines.add(Open{{}, body, 1, {}});
  for (const double a : seam_angles(cap)) draw_seam(lines, stage, a);
  draw_eyelets(lines, stage, cap);
  lines.add(Close{});
  lines.stroke(std::move(body),
               {with_opacity(mix(stage.cloth, kBlack, 0.75), 0.8), 0.35, {}, true});
  draw_button(lines, stage);
  paint(pixels, lines, stage.to_pixels);
}

}  // namespace buckram::report
