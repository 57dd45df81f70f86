#include "picture.h"

#include "base/base.h"

#include <librsvg/rsvg.h>

#include <algorithm>
#include <filesystem>
#include <fstream>
#include <set>
#include <sstream>

namespace quality {
namespace {

namespace fs = std::filesystem;

// Hex codes of openmoji's subgroup "brand", read off its own index without a JSON library.
std::set<std::string> brands(const fs::path& index) {
  std::ifstream in(index);
  std::stringstream all;
  all << in.rdbuf();
  const std::string text = all.str();
  std::set<std::string> codes;
  for (std::size_t at = text.find("\"hexcode\""); at != std::string::npos;
       at = text.find("\"hexcode\"", at + 1)) {
    const std::size_t open = text.find('"', at + 10);
    const std::string code = text.substr(open + 1, text.find('"', open + 1) - open - 1);
    const std::size_t end = text.find("\"hexcode\"", at + 1);
    const std::string entry = text.substr(at, end == std::string::npos ? 2000 : end - at);
    if (entry.find("\"brand\"") != std::string::npos) codes.insert(code);
  }
  return codes;
}

std::vector<Picture> files_of(const std::string& set, const fs::path& folder,
                              const std::string& ending, const std::set<std::string>& without) {
  std::vector<Picture> all;
  if (!fs::exists(folder)) return all;
  for (const auto& entry : fs::recursive_directory_iterator(folder)) {
    const std::string name = entry.path().filename().string();
    if (name.size() < ending.size() || !name.ends_with(ending)) continue;
    if (!without.contains(entry.path().stem().string())) {
      all.push_back({set, entry.path().string()});
    }
  }
  std::sort(all.begin(), all.end(),
            [](const Picture& a, const Picture& b) { return a.path < b.path; });
  return all;
}

}  // namespace

std::vector<Picture> sample_pictures(const std::string& corpus, int n, std::uint64_t seed) {
  const fs::path root = fs::path(corpus);
  std::vector<Picture> chosen;
  for (std::vector<Picture> all :
       {files_of("twemoji", root / "@twemoji/svg", ".svg", {}),
        files_of("fluent", root / "fluentui-emoji/icons/flat", ".svg", {}),
        files_of("openmoji", root / "openmoji/color/svg", ".svg",
                 brands(root / "openmoji/data/openmoji.json"))}) {
    buckram::base::Random random(seed);
    const std::size_t wanted = n > 0 ? std::min<std::size_t>(n, all.size()) : all.size();
    for (std::size_t i = 0; i < wanted; ++i) {
      std::swap(all[i], all[i + random.below(static_cast<int>(all.size() - i))]);
    }
    chosen.insert(chosen.end(), all.begin(), all.begin() + static_cast<std::ptrdiff_t>(wanted));
  }
  return chosen;
}

bool paint_artwork(const std::string& path, const double (&m)[6], const Frame& frame,
                   Painted& painted) {
  GError* error = nullptr;
  RsvgHandle* handle = rsvg_handle_new_from_file(path.c_str(), &error);
  if (handle == nullptr) {
    g_clear_error(&error);
    return false;
  }
  rsvg_handle_set_dpi(handle, 96);
  // No blending at edges: a blend of two colours may be nearest to the thread of a third one.
  constexpr char kCrisp[] = "* { shape-rendering: crispEdges !important }";
  rsvg_handle_set_stylesheet(handle, reinterpret_cast<const guint8*>(kCrisp), sizeof kCrisp - 1,
                             nullptr);
  gboolean has_w = FALSE, has_h = FALSE, has_box = FALSE;
  RsvgLength w{}, h{};
  RsvgRectangle box{0, 0, 100, 100};
  rsvg_handle_get_intrinsic_dimensions(handle, &has_w, &w, &has_h, &h, &has_box, &box);
  if (has_box == FALSE) {
    gdouble width = 100, height = 100;
    rsvg_handle_get_intrinsic_size_in_pixels(handle, &width, &height);
    box = {0, 0, width, height};
  }
  // Painted upright and finely, then looked up for each turned cell: librsvg refuses to composite
  // groups under a turned matrix.
  constexpr double kPixelMm = 0.02;
  const double pixels_per_unit = std::sqrt(std::abs(m[0] * m[3] - m[1] * m[2])) / kPixelMm;
  const int columns = static_cast<int>(std::ceil(box.width * pixels_per_unit));
  const int rows = static_cast<int>(std::ceil(box.height * pixels_per_unit));
  cairo_surface_t* surface = cairo_image_surface_create(CAIRO_FORMAT_ARGB32, columns, rows);
  cairo_t* cairo = cairo_create(surface);
  const RsvgRectangle page{0, 0, box.width * pixels_per_unit, box.height * pixels_per_unit};
  const bool good = rsvg_handle_render_document(handle, cairo, &page, &error) != FALSE;
  g_clear_error(&error);
  cairo_surface_flush(surface);
  const unsigned char* data = cairo_image_surface_get_data(surface);
  const int stride = cairo_image_surface_get_stride(surface);
  const double determinant = m[0] * m[3] - m[1] * m[2];
  painted.is_art.assign(frame.size(), 0);
  painted.rgb.assign(frame.size(), 0);
  for (int j = 0; j < frame.height; ++j) {
    for (int i = 0; i < frame.width; ++i) {
      const Spot place = frame.place_of(i + 0.5, j + 0.5);
      const double x = place.x - m[4], y = place.y - m[5];
      const double u = (m[3] * x - m[2] * y) / determinant - box.x;
      const double v = (m[0] * y - m[1] * x) / determinant - box.y;
      const int column = static_cast<int>(std::floor(u * pixels_per_unit));
      const int row = static_cast<int>(std::floor(v * pixels_per_unit));
      if (column < 0 || row < 0 || column >= columns || row >= rows) continue;
      const std::uint32_t px =
          reinterpret_cast<const std::uint32_t*>(data + std::ptrdiff_t(row) * stride)[column];
      const std::uint32_t alpha = px >> 24U;
      if (alpha < 128) continue;
      const auto channel = [&](unsigned shift) {
        return std::min<std::uint32_t>(255, ((px >> shift) & 255U) * 255U / alpha);
      };
      const std::size_t at = std::size_t(j) * frame.width + i;
      painted.is_art[at] = 1;
      painted.rgb[at] = channel(16) << 16U | channel(8) << 8U | channel(0);
    }
  }
  cairo_destroy(cairo);
  cairo_surface_destroy(surface);
  g_object_unref(handle);
  return good;
}

}  // namespace quality
