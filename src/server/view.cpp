#include "server/view.h"

#include "server/ground.h"
#include "server/json_text.h"

#include <fmt/format.h>

#include <iterator>

namespace buckram::server {
namespace {

using Out = std::back_insert_iterator<std::string>;

const char* comma(const std::string& list) {
  return list.size() > 1 ? "," : "";
}

constexpr double kOutlineMm = 0.05;  // by which outlines may be thinned

std::string rings_json(const geometry::Polygons& polygons) {
  std::string out = "[";
  const auto add = [&](const geometry::Ring& ring) {
    out += comma(out);
    out += ring_json(ring);
  };
  for (const geometry::Polygon& each : polygons) {
    add(each.outer);
    for (const geometry::Ring& hole : each.holes) add(hole);
  }
  return out + "]";
}

std::string threads_json(const stitch::Plan& plan) {
  std::string out = "[";
  for (const stitch::PlanThread& t : plan.threads) {
    fmt::format_to(Out(out), R"({}{{"name":{},"number":{},"rgb":{},"tex":{:g},"needle":{}}})",
                   comma(out), text_json(t.name), text_json(t.number), text_json(t.rgb), t.tex,
                   t.needle);
  }
  return out + "]";
}

std::string objects_json(const stitch::Plan& plan, const report::Told& told) {
  std::string out = "[";
  for (std::size_t i = 0; i < plan.objects.size(); ++i) {
    const stitch::PlanObject& o = plan.objects[i];
    fmt::format_to(Out(out), R"({}{{"id":{},"kind":"{}","thread":{},"source":{},"words":{}}})",
                   comma(out), o.id, stitch::name(o.kind), o.thread, text_json(o.source),
                   text_json(told.objects[i]));
  }
  return out + "]";
}

std::string blocks_json(const stitch::Plan& plan, double bench_spm) {
  std::string out = "[";
  for (const stitch::Block& b : plan.blocks) {
    fmt::format_to(
        Out(out),
        R"({}{{"object":{},"layer":"{}","thread":{},"first":{},"count":{},"speed_spm":{:g}}})",
        comma(out), b.object, stitch::name(b.layer), b.thread, b.first, b.count,
        stitch::speed_of(b, bench_spm));
  }
  return out + "]";
}

// A figure with so many decimals, without zeros at its end.
void add_fixed(std::string& out, double value, int decimals) {
  fmt::format_to(Out(out), "{}{:.{}f}", comma(out), value, decimals);
  while (out.back() == '0') out.pop_back();
  if (out.back() == '.') out.pop_back();
}

std::string fixed_list(const std::vector<double>& values, int decimals) {
  std::string out = "[";
  for (const double each : values) add_fixed(out, each, decimals);
  return out + "]";
}

std::string hazard_json(const stitch::Plan& plan, const needle::Forecast* forecast) {
  std::string out = "[";
  for (std::size_t i = 0; i < plan.op.size(); ++i) {
    const double p = forecast != nullptr ? forecast->hazard[i] : 0;
    if (p > 0) {
      fmt::format_to(Out(out), "{}{:.4g}", comma(out), p);
    } else {
      out += out.size() > 1 ? ",0" : "0";
    }
  }
  return out + "]";
}

std::string entries_json(const stitch::Plan& plan, const advise::Verdict& verdict,
                         const report::Told& told) {
  std::string ops;
  for (const stitch::Op op : plan.op) ops += static_cast<char>(op);
  return fmt::format(R"({{"x":{},"y":{},"op":"{}","hazard":{},"time_s":{}}})",
                     fixed_list(plan.x, 2), fixed_list(plan.y, 2), ops,
                     hazard_json(plan, verdict.forecast ? &*verdict.forecast : nullptr),
                     fixed_list(told.timeline_s, 1));
}

std::string worst_json(const advise::Verdict& verdict, const report::Told& told) {
  std::string out = "[";
  for (std::size_t i = 0; i < told.worst.size(); ++i) {
    const report::ToldPlace& place = told.worst[i];
    const needle::WorstPlace& worst = verdict.forecast->worst[i];
    fmt::format_to(
        Out(out),
        R"({}{{"number":{},"entry":{},"x_mm":{:.2f},"y_mm":{:.2f},"p":{:.4g},"mode":"{}",)"
        R"("part":{},"where":{},"detail":{},"why":{},"helps":{},"share":{:.4g}}})",
        comma(out), place.number, place.entry, place.at.x, place.at.y, worst.p,
        needle::name(worst.mode), text_json(place.part), text_json(place.where),
        text_json(place.detail), text_json(worst.why), text_json(worst.helps), place.share);
  }
  return out + "]";
}

}  // namespace

std::string view_json(int revision, const job::Resolved& job, const stitch::Plan& plan,
                      const advise::Verdict& verdict, const report::Told& told) {
  const double seconds = told.timeline_s.empty() ? 0 : told.timeline_s.back();
  return fmt::format(
      R"({{"revision":{},"threads":{},"objects":{},"blocks":{},"entries":{},"best_hazard":{},)"
      R"("time_s":{:.1f},"worst":{},"unfit":null,"ground":{}}})",
      revision, threads_json(plan), objects_json(plan, told),
      blocks_json(plan, job.setup.bench.speed_spm), entries_json(plan, verdict, told),
      verdict.as_set_up ? hazard_json(plan, &verdict.as_set_up->forecast) : "null", seconds,
      worst_json(verdict, told),
      ground_json(job.setup, stitch::count(plan).box, told.usual_top_mm));
}

Unfit unfit_of(const job::Resolved& job, const artwork::Drawing& drawing,
               const geometry::Affine& placement) {
  std::vector<geometry::Polygons> all;
  for (const artwork::Shape& shape : drawing.shapes) {
    all.push_back(geometry::transformed(shape.area, placement));
  }
  Unfit unfit;
  unfit.outline = geometry::simplify(geometry::unite(all), kOutlineMm);
  // As it would be sewn: wider by compensation and half a thread.
  const double margin_mm = job.recipe.compensation_mm + job.recipe.thread_mm / 2;
  unfit.outside =
      geometry::subtract(geometry::offset(unfit.outline, margin_mm), cap::reach(job.setup));
  return unfit;
}

std::string bare_view_json(int revision, const job::Resolved& job, const Unfit& unfit) {
  geometry::Box box;
  for (const geometry::Polygon& each : unfit.outline) {
    for (const geometry::Point& p : each.outer) box.add(p);
  }
  return fmt::format(
      R"({{"revision":{},"threads":[],"objects":[],"blocks":[],)"
      R"("entries":{{"x":[],"y":[],"op":"","hazard":[],"time_s":[]}},"best_hazard":null,)"
      R"("time_s":0,"worst":[],"unfit":{{"outline":{},"outside":{}}},"ground":{}}})",
      revision, rings_json(unfit.outline), rings_json(unfit.outside),
      ground_json(job.setup, box, std::nullopt));
}

}  // namespace buckram::server
