#include "advise/verdict.h"

#include <fmt/format.h>
#include <nlohmann/json.hpp>

#include <cmath>
#include <cstdlib>

namespace buckram::advise {
namespace {

using Json = nlohmann::ordered_json;

// To 4 significant digits. What is not finite has no figure.
Json number(double value) {
  if (!std::isfinite(value)) return nullptr;
  const double rounded = std::strtod(fmt::format("{:.4g}", value).c_str(), nullptr);
  if (rounded == std::floor(rounded) && std::abs(rounded) < 1e9) {
    return static_cast<std::int64_t>(rounded);
  }
  return rounded;
}

Json number(const std::optional<double>& value) {
  return value ? number(*value) : Json(nullptr);
}

Json point(geometry::Point p) {
  return Json::array({number(p.x), number(p.y)});
}

Json range(const BreakRange& range) {
  return {{"mean", number(range.mean)}, {"low", number(range.low)}, {"high", number(range.high)}};
}

Json drivers(const needle::Drivers& d) {
  return {{"gap", number(d.gap)},          {"slope", number(d.slope)},
          {"seam", number(d.seam)},        {"crowding", number(d.crowding)},
          {"motion", number(d.motion)},    {"hardness", number(d.hardness)},
          {"buckling", number(d.buckling)}};
}

Json worst(const std::vector<needle::WorstPlace>& places) {
  Json list = Json::array();
  for (const needle::WorstPlace& place : places) {
    list.push_back({{"entry", place.entry},
                    {"x_mm", number(place.at.x)},
                    {"y_mm", number(place.at.y)},
                    {"p", number(place.p)},
                    {"mode", needle::name(place.mode)},
                    {"why", place.why},
                    {"helps", place.helps}});
  }
  return list;
}

void add_forecast(const std::optional<needle::Forecast>& forecast, Json& out) {
  if (!forecast) {
    for (const char* key : {"breaks_per_100_caps", "clean_cap", "gap_mm", "drivers", "worst"}) {
      out[key] = nullptr;
    }
    return;
  }
  out["breaks_per_100_caps"] = range(range_of(*forecast));
  out["clean_cap"] = number(forecast->clean_cap);
  out["gap_mm"] = {{"mean", number(forecast->gap_mean_mm)}, {"max", number(forecast->gap_max_mm)}};
  out["drivers"] = drivers(forecast->drivers);
  out["worst"] = worst(forecast->worst);
}

Json coverage(const std::optional<Coverage>& found) {
  if (!found) return nullptr;
  return {{"missed", number(found->missed)},
          {"spilled", number(found->spilled)},
          {"left_out", number(found->left_out)}};
}

Json per_cap(const std::optional<PerCap>& found) {
  if (!found) return nullptr;
  Json needle_m = Json::array();
  for (const double m : found->needle_m) needle_m.push_back(number(m));
  const CapTime& m = found->time;
  return {{"time_s", number(m.total_s())},
          {"time_parts",
           {{"sewing_s", number(m.sewing_s)},
            {"bobbins_s", number(m.bobbins_s)},
            {"thread_breaks_s", number(m.thread_breaks_s)},
            {"needle_breaks_s", number(m.needle_breaks_s)},
            {"mounting_s", number(m.mounting_s)}}},
          {"stitches", found->stitches},
          {"trims", found->trims},
          {"thread_changes", found->thread_changes},
          {"needle_m", needle_m},
          {"bobbin_m", number(found->bobbin_m)}};
}

Json practice(const std::vector<PracticeRow>& rows) {
  Json list = Json::array();
  for (const PracticeRow& row : rows) {
    list.push_back({{"id", row.id},
                    {"what", row.what},
                    {"value", number(row.value)},
                    {"limit", number(row.limit)},
                    {"unit", row.unit},
                    {"kept", row.kept}});
  }
  return list;
}

Json changes(const std::vector<Change>& all) {
  Json list = Json::array();
  for (const Change& change : all) {
    list.push_back({{"id", change.id},
                    {"breaks", number(change.breaks)},
                    {"time_s", number(change.time_s)},
                    {"registration_mm", nullptr},
                    {"cost", number(change.cost)},
                    {"chosen", change.chosen}});
  }
  return list;
}

Json trade_off(const std::vector<TradeOff>& all) {
  Json list = Json::array();
  for (const TradeOff& each : all) {
    list.push_back({{"set", each.set},
                    {"breaks_per_100_caps", number(each.breaks_per_100)},
                    {"time_s", number(each.time_s)}});
  }
  return list;
}

Json applied(const std::optional<Applied>& found) {
  if (!found) return nullptr;
  return {{"changes", changes(found->changes)},
          {"breaks_per_100_caps_before", range(found->before)},
          {"time_s_before", number(found->time_before_s)}};
}

Json offers(const std::vector<Offer>& all) {
  Json list = Json::array();
  for (const Offer& offer : all) {
    list.push_back({{"cap", offer.cap},
                    {"mount", offer.mount},
                    {"set", offer.set},
                    {"height_mm", number(offer.height_mm)},
                    {"at_mm", point(offer.at)},
                    {"fits", offer.fits},
                    {"breaks_per_100_caps", number(offer.breaks_per_100)},
                    {"time_s", number(offer.time_s)},
                    {"tallest_mm", number(offer.tallest_mm)},
                    {"price", nullptr},
                    {"why", offer.why}});
    if (!offer.artwork.empty()) list.back()["artwork"] = offer.artwork;
  }
  return list;
}

Json notes(const std::vector<Note>& all) {
  Json list = Json::array();
  for (const Note& note : all) {
    list.push_back({{"kind", note.kind},
                    {"source", note.source},
                    {"at_mm", point(note.at)},
                    {"why", note.why}});
  }
  return list;
}

}  // namespace

std::string write_verdict(const Verdict& verdict) {
  Json out;
  out["buckram_verdict"] = 1;
  out["verdict"] = name(verdict.answer);
  out["limit_breaks_per_100"] = number(verdict.limit_breaks_per_100);
  add_forecast(verdict.forecast, out);
  out["best_breaks_per_100_caps"] = nullptr;
  if (verdict.best) out["best_breaks_per_100_caps"] = range(*verdict.best);
  out["registration_mm"] = nullptr;  // the sew-out is not computed
  out["trapped_slack"] = nullptr;
  out["coverage"] = coverage(verdict.coverage);
  out["per_cap"] = per_cap(verdict.per_cap);
  out["practice"] = practice(verdict.practice);
  out["changes"] = changes(verdict.changes);
  out["trade_off"] = trade_off(verdict.trade_off);
  out["applied"] = applied(verdict.applied);
  out["offers"] = offers(verdict.offers);
  out["notes"] = notes(verdict.notes);
  out["cautions"] = verdict.cautions;
  return out.dump(1, ' ', false, Json::error_handler_t::replace) + '\n';
}

std::string write_offers(const std::vector<Offer>& all) {
  const Json out{{"buckram_offers", 1}, {"offers", offers(all)}};
  return out.dump(1, ' ', false, Json::error_handler_t::replace) + '\n';
}

}  // namespace buckram::advise
