#include "report/preview.h"

#include "base/base.h"

#include <algorithm>
#include <cmath>

namespace buckram::report {
namespace {

using geometry::Point;

// Finer pixels to a pixel along a side: fewer where a thread is many pixels wide by itself.
int finer_at(double px_per_mm) {
  return px_per_mm > 9 ? 2 : 3;
}

constexpr double kRadius_mm = 0.205;  // a size-40 thread lies about 0.4 mm wide
constexpr double kPly_mm = 0.62;      // one turn of its twist

// The stitches' own sheet: finer pixels over their box.
struct Sheet3 {
  int x0 = 0, y0 = 0, width = 0, height = 0, finer = 3;  // of coarse pixels: width, height
  std::vector<std::uint32_t> argb;                       // finer; 0 where no thread lies
  int fine_width() const { return width * finer; }
};

struct Rod {
  Point a, b;         // finer pixels, in the sheet
  double radius = 4;  // finer pixels
  double length_mm = 1;
  Vec3 along, up, side;  // of the thread, the cloth, across; in the view
  Colour colour;
};

std::uint32_t lit(Colour c, double light, double sheen) {
  const auto channel = [&](int v) {
    const double shaded = v * light + (255 - v * 0.6) * sheen;
    return static_cast<std::uint32_t>(std::clamp(shaded, 0.0, 255.0) + 0.5);
  };
  return 0xff000000u | channel(c.r) << 16 | channel(c.g) << 8 | channel(c.b);
}

// (1 - x^2)^4: the 8th power of the sine whose cosine is x.
double sine_8(double x) {
  const double v = std::max(0.0, 1 - x * x), v2 = v * v;
  return v2 * v2;
}

// How much of the light each thing takes or gives. A thread has to show as one colour whichever way
// it runs: people read two shades of white as two threads. So both flanks darken alike (relief);
// only little depends on the side the light comes from, and on the way the fibres run (sheen).
// Chosen by eye.
constexpr double kRelief = 0.34, kFlank = 0.06, kSheen = 0.10;

// The crown's own light and shade, softly: 1 where it faces the viewer.
double form_light(Vec3 up, Vec3 light) {
  return 1 + 0.25 * (dot(up, light) - light.z);
}

// One thread from hole to hole, under what lies there.
void lay(Sheet3& sheet, const Rod& rod) {
  const Vec3 light = light_direction(), half = unit(light + Vec3{0, 0, 1});
  const Point d = rod.b - rod.a;
  const double length = std::max(1e-6, geometry::norm(d));
  const Point t = d * (1 / length);
  const double r = rod.radius;
  const double form = form_light(rod.up, light), lateral = kFlank * dot(rod.side, light);
  const int x0 = std::max(0, static_cast<int>(std::min(rod.a.x, rod.b.x) - r));
  const int x1 =
      std::min(sheet.fine_width() - 1, static_cast<int>(std::max(rod.a.x, rod.b.x) + r) + 1);
  const int y0 = std::max(0, static_cast<int>(std::min(rod.a.y, rod.b.y) - r));
  const int y1 = std::min(sheet.height * sheet.finer - 1,
                          static_cast<int>(std::max(rod.a.y, rod.b.y) + r) + 1);
  for (int y = y0; y <= y1; ++y) {
    // The part of the row within the rod: solve |across| <= r, then round the ends off.
    int from = x0, to = x1;
    const double cy = y + 0.5 - rod.a.y;
    if (std::abs(t.y) > 1e-3) {
      const double e0 = (cy * t.x - r) / t.y + rod.a.x, e1 = (cy * t.x + r) / t.y + rod.a.x;
      from = std::max(from, static_cast<int>(std::min(e0, e1)) - 1);
      to = std::min(to, static_cast<int>(std::max(e0, e1)) + 1);
    }
    std::uint32_t* row = sheet.argb.data() +
                         static_cast<std::size_t>(y) * static_cast<std::size_t>(sheet.fine_width());
    for (int x = from; x <= to; ++x) {
      if (row[x] != 0) continue;
      const double cx = x + 0.5 - rod.a.x;
      const double s = cx * t.x + cy * t.y, w = (cy * t.x - cx * t.y) / r;
      const double past = s < 0 ? -s / r : s > length ? (s - length) / r : 0;
      const double rim = w * w + past * past;
      if (rim >= 1) continue;
      const double f = std::clamp(s / length, 0.0, 1.0);
      // It rises out of one hole and dives into the next.
      const double bend = 0.55 * (1 - 2 * f) * std::min(1.0, 1.6 / rod.length_mm + 0.25);
      const double rise = std::sqrt(1 - rim);
      const double relief = 1 - kRelief * (1 - rise) + lateral * w;
      const double turn = (f * rod.length_mm + 0.2 * w) / kPly_mm;
      const double whole = static_cast<double>(static_cast<int>(turn + 8) - 8);  // rounded down
      const double ply = 0.93 + 0.14 * std::abs(2 * (turn - whole) - 1);
      const double sink =
          std::min(1.0, 0.62 + 4.0 * std::min(f, 1 - f) * std::max(0.5, rod.length_mm));
      const Vec3 fibre = rod.along + rod.up * bend;
      const double sheen =
          kSheen * sine_8(dot(fibre, half) * (1 - 0.5 * bend * bend)) * rise * rise;
      row[x] = lit(rod.colour, form * relief * ply * sink, sheen * sink * ply);
    }
  }
}

bool is_facing(const Stage& stage, Point chart) {
  const double r = std::max(1.0, stage.view.profile().radius(chart.y));
  return stage.view.in_view(stage.view.normal(chart.x / r, chart.y)).z > 0.06;
}

Point pixel(const Stage& stage, Point chart) {
  return stage.to_pixels(stage.view.seen(stage.view.on_chart(chart, 0.3)));
}

Sheet3 open_sheet3(const Pixels& pixels, const Stage& stage, const stitch::Plan& plan) {
  geometry::Box box;
  for (int i = 0; i < plan.size(); ++i)
    if (is_facing(stage, plan.at(i))) box.add(pixel(stage, plan.at(i)));
  Sheet3 sheet;
  sheet.finer = finer_at(stage.px_per_mm);
  if (box.empty()) return sheet;
  const double pad = 2 + 2 * stage.px_per_mm;
  sheet.x0 = std::max(0, static_cast<int>(box.x0 - pad));
  sheet.y0 = std::max(0, static_cast<int>(box.y0 - pad));
  sheet.width = std::max(0, std::min(pixels.width, static_cast<int>(box.x1 + pad)) - sheet.x0);
  sheet.height = std::max(0, std::min(pixels.height, static_cast<int>(box.y1 + pad)) - sheet.y0);
  sheet.argb.assign(static_cast<std::size_t>(sheet.width) * static_cast<std::size_t>(sheet.height) *
                        static_cast<std::size_t>(sheet.finer * sheet.finer),
                    0);
  return sheet;
}

// From the last stitch to the first, so that every pixel is shaded once: two thirds of the time
// that painting over takes on filled crests, for the same picture.
void lay_all(Sheet3& sheet, const Stage& stage, const stitch::Plan& plan) {
  const auto fine = [&](Point chart) {
    const Point p = pixel(stage, chart);
    return Point{(p.x - sheet.x0) * sheet.finer, (p.y - sheet.y0) * sheet.finer};
  };
  for (auto at = plan.blocks.rbegin(); at != plan.blocks.rend(); ++at) {
    const stitch::Block& block = *at;
    const Colour colour = parse_colour(plan.threads[static_cast<std::size_t>(block.thread)].rgb);
    for (int i = block.first + block.count - 1; i >= block.first; --i) {
      if (!stitch::has_thread(plan, i)) continue;
      const Point a = plan.at(i - 1), b = plan.at(i), m = geometry::mix(a, b, 0.5);
      if (!is_facing(stage, m)) continue;
      const double r = std::max(1.0, stage.view.profile().radius(m.y));
      Rod rod{fine(a),
              fine(b),
              kRadius_mm * stage.px_per_mm * sheet.finer,
              geometry::distance(a, b),
              {},
              {},
              {},
              colour};
      rod.up = stage.view.in_view(stage.view.normal(m.x / r, m.y));
      const Vec3 run = stage.view.in_view(stage.view.on_chart(b) - stage.view.on_chart(a));
      rod.along = unit(run - rod.up * dot(run, rod.up));
      rod.side = cross(rod.along, rod.up);
      lay(sheet, rod);
    }
  }
}

// Share of each coarse pixel that thread covers.
std::vector<float> cover_of(const Sheet3& sheet) {
  std::vector<float> cover(
      static_cast<std::size_t>(sheet.width) * static_cast<std::size_t>(sheet.height), 0);
  for (int y = 0; y < sheet.height * sheet.finer; ++y)
    for (int x = 0; x < sheet.fine_width(); ++x)
      if (sheet.argb[static_cast<std::size_t>(y) * static_cast<std::size_t>(sheet.fine_width()) +
                     static_cast<std::size_t>(x)] != 0)
        cover[static_cast<std::size_t>(y / sheet.finer) * static_cast<std::size_t>(sheet.width) +
              static_cast<std::size_t>(x / sheet.finer)] +=
            1.0f / static_cast<float>(sheet.finer * sheet.finer);
  return cover;
}

// A running mean over 2 n + 1 pixels along rows, then columns; twice.
void blur(std::vector<float>& v, int width, int height, int n) {
  std::vector<float> line;
  const auto along = [&](int count, int length, int step, int next) {
    for (int k = 0; k < count; ++k) {
      float* p = v.data() + static_cast<std::ptrdiff_t>(k) * next;
      line.assign(static_cast<std::size_t>(length), 0);
      float sum = 0;
      for (int i = -n; i < length; ++i) {
        if (i + n < length) sum += p[static_cast<std::ptrdiff_t>(i + n) * step];
        if (i - n - 1 >= 0) sum -= p[static_cast<std::ptrdiff_t>(i - n - 1) * step];
        if (i >= 0) line[static_cast<std::size_t>(i)] = sum / static_cast<float>(2 * n + 1);
      }
      for (int i = 0; i < length; ++i)
        p[static_cast<std::ptrdiff_t>(i) * step] = line[static_cast<std::size_t>(i)];
    }
  };
  for (int pass = 0; pass < 2; ++pass) {
    along(height, width, 1, width);
    along(width, height, width, 1);
  }
}

// The darkening of cloth beside and below the stitches, which stand about a millimetre proud.
void cast_shadow(Pixels& pixels, const Sheet3& sheet, std::vector<float> cover, double px_per_mm) {
  const int dx = static_cast<int>(std::lround(0.35 * px_per_mm)),
            dy = static_cast<int>(std::lround(0.5 * px_per_mm));
  blur(cover, sheet.width, sheet.height, std::max(1, static_cast<int>(0.4 * px_per_mm)));
  for (int y = 0; y < sheet.height; ++y) {
    for (int x = 0; x < sheet.width; ++x) {
      const int sx = x - dx, sy = y - dy;
      if (sx < 0 || sy < 0) continue;
      const float dark =
          0.5f * cover[static_cast<std::size_t>(sy) * static_cast<std::size_t>(sheet.width) +
                       static_cast<std::size_t>(sx)];
      if (dark < 0.004f) continue;
      std::uint32_t& p = pixels.argb[static_cast<std::size_t>(y + sheet.y0) *
                                         static_cast<std::size_t>(pixels.width) +
                                     static_cast<std::size_t>(x + sheet.x0)];
      const auto dim = [&](unsigned shift) {
        return static_cast<std::uint32_t>(static_cast<float>(p >> shift & 255u) * (1 - dark))
               << shift;
      };
      p = 0xff000000u | dim(16) | dim(8) | dim(0);
    }
  }
}

void bring_together(Pixels& pixels, const Sheet3& sheet) {
  const auto all = static_cast<unsigned>(sheet.finer * sheet.finer);
  for (int y = 0; y < sheet.height; ++y) {
    for (int x = 0; x < sheet.width; ++x) {
      unsigned n = 0, r = 0, g = 0, b = 0;
      for (int k = 0; k < sheet.finer * sheet.finer; ++k) {
        const int fx = x * sheet.finer + k % sheet.finer, fy = y * sheet.finer + k / sheet.finer;
        const std::uint32_t p =
            sheet.argb[static_cast<std::size_t>(fy) * static_cast<std::size_t>(sheet.fine_width()) +
                       static_cast<std::size_t>(fx)];
        if (p == 0) continue;
        ++n, r += p >> 16 & 255u, g += p >> 8 & 255u, b += p & 255u;
      }
      if (n == 0) continue;
      std::uint32_t& p = pixels.argb[static_cast<std::size_t>(y + sheet.y0) *
                                         static_cast<std::size_t>(pixels.width) +
                                     static_cast<std::size_t>(x + sheet.x0)];
      const auto over = [&](unsigned sum, unsigned shift) {
        return (sum + (p >> shift & 255u) * (all - n) + all / 2) / all << shift;
      };
      p = 0xff000000u | over(r, 16) | over(g, 8) | over(b, 0);
    }
  }
}

}  // namespace

void paint_stitches(Pixels& pixels, const Stage& stage, const stitch::Plan& plan) {
  Sheet3 sheet = open_sheet3(pixels, stage, plan);
  if (sheet.argb.empty()) return;
  lay_all(sheet, stage, plan);
  cast_shadow(pixels, sheet, cover_of(sheet), stage.px_per_mm);
  bring_together(pixels, sheet);
}

}  // namespace buckram::report
