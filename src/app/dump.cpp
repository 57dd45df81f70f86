#include "options.h"
#include "verbs.h"

#include "cap/cap.h"

#include <fmt/format.h>

#include <variant>

namespace buckram::app {
namespace {

using geometry::Point;
using geometry::Polygons;

// Chart mm, y up: drawn negated.
class Svg {
 public:
  void area(const Polygons& polygons, const std::string& style) {
    std::string d;
    for (const geometry::Polygon& polygon : polygons) {
      add_ring(polygon.outer, d);
      for (const geometry::Ring& hole : polygon.holes) add_ring(hole, d);
    }
    path(d, style);
    box_.add(geometry::bounds(polygons));
  }
  void line(const geometry::Polyline& points, const std::string& style) {
    std::string d;
    for (std::size_t i = 0; i < points.size(); ++i) {
      d += fmt::format("{}{:.3f} {:.3f}", i == 0 ? 'M' : 'L', points[i].x, -points[i].y);
      box_.add(points[i]);
    }
    path(d, style);
  }
  void dot(Point p, double r, const std::string& style) {
    body_ +=
        fmt::format("<circle cx=\"{:.3f}\" cy=\"{:.3f}\" r=\"{:g}\" {}/>\n", p.x, -p.y, r, style);
    box_.add(p);
  }
  void text(Point p, const std::string& words) {
    body_ += fmt::format("<text x=\"{:.2f}\" y=\"{:.2f}\" font-size=\"1.6\">{}</text>\n", p.x, -p.y,
                         words);
  }
  std::string finish() const {
    const double m = 2;
    return fmt::format(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"{:.2f} {:.2f} {:.2f} {:.2f}\" "
        "width=\"{:.2f}mm\" height=\"{:.2f}mm\">\n{}</svg>\n",
        box_.x0 - m, -box_.y1 - m, box_.width() + 2 * m, box_.height() + 2 * m,
        box_.width() + 2 * m, box_.height() + 2 * m, body_);
  }

 private:
  static void add_ring(const geometry::Ring& ring, std::string& d) {
    for (std::size_t i = 0; i < ring.size(); ++i) {
      d += fmt::format("{}{:.3f} {:.3f}", i == 0 ? 'M' : 'L', ring[i].x, -ring[i].y);
    }
    d += 'Z';
  }
  void path(const std::string& d, const std::string& style) {
    body_ += fmt::format("<path d=\"{}\" {}/>\n", d, style);
  }
  std::string body_;
  geometry::Box box_;
};

std::string fill_of(const job::Planned& planned, int thread, double opacity = 1) {
  const artwork::Thread& t = planned.regions.threads[static_cast<std::size_t>(thread)];
  return fmt::format("fill=\"{}\" fill-opacity=\"{:g}\" stroke=\"none\"", artwork::hex(t.colour),
                     opacity);
}

constexpr const char* kThin = "fill=\"none\" stroke=\"#1d2225\" stroke-width=\".08\"";

std::string draw_drawing(const job::Planned& planned, const artwork::Drawing& drawing) {
  Svg svg;
  for (const artwork::Shape& shape : drawing.shapes) {
    svg.area(geometry::transformed(shape.area, planned.placement),
             fmt::format("fill=\"{}\"", artwork::hex(shape.colour)));
  }
  return svg.finish();
}

std::string draw_regions(const job::Planned& planned) {
  Svg svg;
  for (const artwork::Region& region : planned.regions.regions) {
    svg.area(region.visible, fill_of(planned, region.thread));
    svg.area(region.sewn, kThin);
  }
  return svg.finish();
}

std::string draw_spine(const job::Planned& planned) {
  Svg svg;
  for (const artwork::Region& region : planned.regions.regions) {
    svg.area(region.sewn, fill_of(planned, region.thread, 0.35));
    for (const geometry::Polygon& polygon : region.sewn) {
      const geometry::MedialAxis axis = geometry::medial_axis(polygon).axis;
      for (const geometry::MedialEdge& edge : axis.edges) {
        svg.line({axis.nodes[static_cast<std::size_t>(edge.from)].at,
                  axis.nodes[static_cast<std::size_t>(edge.to)].at},
                 kThin);
      }
    }
  }
  return svg.finish();
}

void draw_object(const digitise::Object& object, const job::Planned& planned, Svg& svg) {
  svg.area(object.outline, fill_of(planned, object.thread, 0.3));
  svg.area(object.outline, kThin);
  if (const auto* column = std::get_if<digitise::Column>(&object.shape)) {
    for (const digitise::Rung& rung : column->rungs) svg.line({rung.left, rung.right}, kThin);
  } else if (const auto* run = std::get_if<digitise::Run>(&object.shape)) {
    svg.line(run->path, "fill=\"none\" stroke=\"#a03313\" stroke-width=\".2\"");
  }
}

std::string draw_objects(const job::Planned& planned) {
  Svg svg;
  for (const digitise::Object& object : planned.objects) draw_object(object, planned, svg);
  return svg.finish();
}

std::string draw_order(const job::Planned& planned) {
  Svg svg;
  int number = 0;
  for (const sequence::Step& step : planned.order.steps) {
    const digitise::Object& object = planned.objects[static_cast<std::size_t>(step.object)];
    const digitise::Way& way = object.ways[static_cast<std::size_t>(step.way)];
    svg.area(object.outline, fill_of(planned, object.thread, 0.3));
    if (step.link == sequence::Link::hidden) {
      svg.line(step.travel, "fill=\"none\" stroke=\"#2f6f66\" stroke-width=\".2\"");
    }
    svg.dot(way.entry, 0.35,
            step.link == sequence::Link::trim ? "fill=\"#a03313\"" : "fill=\"#1d2225\"");
    svg.text(way.entry + Point{0.5, 0.3}, std::to_string(++number));
  }
  return svg.finish();
}

std::string draw_gap(const job::Resolved& job) {
  Svg svg;
  const cap::GapField field(job.setup);
  for (double y = 2; y <= 80; y += 2) {
    for (double x = -60; x <= 60; x += 2) {
      const double gap = field.at({x, y}).gap_mm;
      svg.dot({x, y}, 0.1 + gap * 0.25, "fill=\"#1d2225\"");
    }
  }
  svg.area(cap::reach(job.setup), kThin);
  return svg.finish();
}

int dump(const Options& options, const std::string& stage) {
  const job::Resolved job = job::resolve(job_of(options), find_data());
  const artwork::Drawing drawing = job::read_artwork(job.job);
  const job::Planned planned = job::plan_stitches(job, drawing);
  if (!planned.refusal.empty() && stage != "drawing" && stage != "gap") {
    throw base::Error{base::ErrorCode::bad_job, planned.refusal, options.input,
                      "Choose another size or place"};
  }
  std::string svg;
  if (stage == "drawing") svg = draw_drawing(planned, drawing);
  if (stage == "regions") svg = draw_regions(planned);
  if (stage == "spine") svg = draw_spine(planned);
  if (stage == "objects") svg = draw_objects(planned);
  if (stage == "order") svg = draw_order(planned);
  if (stage == "gap") svg = draw_gap(job);
  if (options.output.empty()) {
    std::fputs(svg.c_str(), stdout);
  } else {
    base::write_files({{options.output, svg}});
  }
  return 0;
}

}  // namespace

void add_dump(CLI::App& app, Run& run) {
  auto options = std::make_shared<Options>();
  auto stage = std::make_shared<std::string>();
  auto is_svg = std::make_shared<bool>(true);
  CLI::App* verb = app.add_subcommand("dump", "a stage's intermediate geometry, for eyes");
  verb->footer("Example: buckram dump objects crest.svg --height 46 --svg -o objects.svg");
  verb->add_option("STAGE", *stage, "drawing, regions, spine, objects, order or gap")
      ->required()
      ->check(CLI::IsMember({"drawing", "regions", "spine", "objects", "order", "gap"}));
  verb->add_option("ARTWORK", options->input, "job file (.toml) or artwork (.svg)")->required();
  verb->add_option("-o,--output", options->output, "file; otherwise standard output");
  verb->add_flag("--svg", *is_svg, "as SVG, the only form there is");
  add_place_options(*verb, *options);
  add_bench_options(*verb, *options);
  verb->callback([options, stage, is_svg, &run] {
    run = [options, stage] { return dump(*options, *stage); };
  });
}

}  // namespace buckram::app
