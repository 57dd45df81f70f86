#include "artwork/svg_paint.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>

namespace buckram::artwork {
namespace {

struct Stop {
  double offset = 0;
  Ink ink;
};

// Without the '#'; empty when the reference leads out of the file.
std::string_view linked_id(const Element& element) {
  const std::string_view link = link_of(element);
  return link.starts_with('#') ? link.substr(1) : std::string_view();
}

bool is_gradient(const Element& element) {
  return element.is_svg && (element.name == "linearGradient" || element.name == "radialGradient");
}

// Inherited properties reach a stop (color for currentColor) through the gradient only; drawings
// do not use more.
std::vector<Stop> stops_of(const XmlTree& tree, const StyleSheet& sheet, const Element& gradient,
                           const Viewport& viewport) {
  std::vector<Stop> stops;
  for (const int child : gradient.children) {
    const Element& element = tree.elements[static_cast<std::size_t>(child)];
    if (!element.is_svg || element.name != "stop") continue;
    const Style style = computed_style(tree, child, sheet, Style{}, viewport);
    Stop stop;
    if (const std::string* offset = attribute(element, "offset")) {
      Scanner in(*offset);
      stop.offset = in.number().value_or(0);
      if (in.skip('%')) stop.offset /= 100;
    }
    stop.offset = std::clamp(stop.offset, stops.empty() ? 0.0 : stops.back().offset, 1.0);
    stop.ink = style.stop_colour;
    stop.ink.alpha *= style.stop_opacity;
    stops.push_back(stop);
  }
  return stops;
}

// Mean over the offsets: half of each neighbour's span belongs to a stop, and the ends reach out
// to 0 and 1. Colours count by their opacity, so that a fade to nothing keeps its hue.
Ink mean_of(const std::vector<Stop>& stops) {
  std::array<double, 3> sum{};
  double alpha = 0;
  for (std::size_t i = 0; i < stops.size(); ++i) {
    const double before = i == 0 ? stops[i].offset : (stops[i].offset - stops[i - 1].offset) / 2;
    const double after =
        i + 1 == stops.size() ? 1 - stops[i].offset : (stops[i + 1].offset - stops[i].offset) / 2;
    const double weight = (before + after) * stops[i].ink.alpha;
    const Rgb c = stops[i].ink.colour;
    sum[0] += weight * c.r, sum[1] += weight * c.g, sum[2] += weight * c.b;
    alpha += weight;
  }
  if (!(alpha > 0)) return {stops.front().ink.colour, 0};
  const auto channel = [&](double v) {
    return static_cast<std::uint8_t>(std::lround(std::clamp(v / alpha, 0.0, 255.0)));
  };
  return {{channel(sum[0]), channel(sum[1]), channel(sum[2])}, std::min(alpha, 1.0)};
}

MeanInk fallback(const Paint& paint, std::string remark) {
  MeanInk mean{std::nullopt, std::move(remark), true};
  if (paint.has_fallback) mean.ink = paint.ink, mean.is_skipped = false;
  return mean;
}

}  // namespace

MeanInk mean_ink(const XmlTree& tree, const StyleSheet& sheet, const Paint& paint,
                 const Viewport& viewport) {
  std::string id = paint.server;
  constexpr int kMostLinks = 20;
  for (int step = 0; step < kMostLinks; ++step) {
    const auto found = tree.by_id.find(id);
    if (found == tree.by_id.end())
      return fallback(paint, fmt::format("its paint '{}' is not in the file", id.substr(0, 60)));
    const Element& server = tree.elements[static_cast<std::size_t>(found->second)];
    if (!is_gradient(server))
      return fallback(paint, fmt::format("painted with a {}, which cannot be sewn", server.name));
    const auto stops = stops_of(tree, sheet, server, viewport);
    if (!stops.empty()) {
      const Ink ink = mean_of(stops);
      const bool is_flat = stops.size() == 1;
      return {ink,
              is_flat
                  ? ""
                  : fmt::format("gradient '{}' is sewn in its mean colour {}", id, hex(ink.colour)),
              false};
    }
    id = linked_id(server);
    if (id.empty())
      return {std::nullopt, fmt::format("gradient '{}' has no stops", label(server)), true};
  }
  return fallback(paint, fmt::format("gradient '{}' refers to itself", paint.server));
}

}  // namespace buckram::artwork
