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
  gboolean has_w = FALSE, has_h = FALSE, has_box = FALSE;
  RsvgLength w{}, h{};
  RsvgRectangle box{0, 0, 100, 100};
  rsvg_handle_get_intrinsic_dimensions(handle, &has_w, &w, &has_h, &h, &has_box, &box);
  if (has_box == FALSE) {
    gdouble width = 100, height = 100;
    rsvg_handle_get_intrinsic_size_in_pixels(handle, &width, &height);
    box = {0, 0, width, height};
  }
  cairo_surface_t* surface =
      cairo_image_surface_create(CAIRO_FORMAT_ARGB32, frame.width, frame.height);
  cairo_t* cairo = cairo_create(surface);
  // user units -> chart -> turned cells
  const double c = std::cos(kTurnRad) / frame.pitch, s = std::sin(kTurnRad) / frame.pitch;
  cairo_matrix_t matrix;
  cairo_matrix_init(&matrix, c * m[0] + s * m[1], -s * m[0] + c * m[1], c * m[2] + s * m[3],
                    -s * m[2] + c * m[3], c * m[4] + s * m[5] - frame.x0 / frame.pitch,
                    -s * m[4] + c * m[5] - frame.y0 / frame.pitch);
  cairo_set_matrix(cairo, &matrix);
  const bool good = rsvg_handle_render_document(handle, cairo, &box, &error) != FALSE;
  g_clear_error(&error);
  cairo_surface_flush(surface);
  const unsigned char* data = cairo_image_surface_get_data(surface);
  const int stride = cairo_image_surface_get_stride(surface);
  painted.is_art.assign(frame.size(), 0);
  painted.rgb.assign(frame.size(), 0);
  for (int j = 0; j < frame.height; ++j) {
    for (int i = 0; i < frame.width; ++i) {
      const std::uint32_t px =
          reinterpret_cast<const std::uint32_t*>(data + std::ptrdiff_t(j) * stride)[i];
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
