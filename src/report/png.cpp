// Pixels to PNG by libpng. One fixed filter ("sub") at level 2: on painted caps two thirds of the
// time that level 3 takes, for 7 % more bytes (measured on the example previews).
#include "report/canvas.h"

#include "base/base.h"

#include <png.h>

namespace buckram::report {
namespace {

[[noreturn]] void refuse(png_structp, png_const_charp message) {
  throw base::Error{base::ErrorCode::cannot_write, message, "the picture",
                    "free some memory and try again"};
}

void keep_quiet(png_structp, png_const_charp) {}

void append(png_structp png, png_bytep data, png_size_t length) {
  static_cast<std::string*>(png_get_io_ptr(png))
      ->append(reinterpret_cast<const char*>(data), length);
}

void flush(png_structp) {}

struct Writer {
  png_structp png = png_create_write_struct(PNG_LIBPNG_VER_STRING, nullptr, refuse, keep_quiet);
  png_infop info = png != nullptr ? png_create_info_struct(png) : nullptr;
  Writer() {
    if (info == nullptr) refuse(nullptr, "no memory for a picture");
  }
  ~Writer() { png_destroy_write_struct(&png, &info); }
  Writer(const Writer&) = delete;
  Writer& operator=(const Writer&) = delete;
};

}  // namespace

std::string write_png(const Pixels& pixels) {
  BUCKRAM_ASSERT(pixels.width > 0 && pixels.height > 0);
  std::string out;
  const Writer writer;
  png_set_write_fn(writer.png, &out, append, flush);
  png_set_IHDR(writer.png, writer.info, static_cast<png_uint_32>(pixels.width),
               static_cast<png_uint_32>(pixels.height), 8, PNG_COLOR_TYPE_RGB, PNG_INTERLACE_NONE,
               PNG_COMPRESSION_TYPE_DEFAULT, PNG_FILTER_TYPE_DEFAULT);
  png_set_compression_level(writer.png, 2);
  png_set_filter(writer.png, PNG_FILTER_TYPE_BASE, PNG_FILTER_SUB);
  png_write_info(writer.png, writer.info);
  const auto width = static_cast<std::size_t>(pixels.width);
  std::vector<png_byte> row(3 * width);
  for (int y = 0; y < pixels.height; ++y) {
    const std::uint32_t* from = pixels.argb.data() + static_cast<std::size_t>(y) * width;
    for (std::size_t x = 0; x < width; ++x) {
      row[3 * x] = static_cast<png_byte>(from[x] >> 16 & 255u);
      row[3 * x + 1] = static_cast<png_byte>(from[x] >> 8 & 255u);
      row[3 * x + 2] = static_cast<png_byte>(from[x] & 255u);
    }
    png_write_row(writer.png, row.data());
  }
  png_write_end(writer.png, writer.info);
  return out;
}

}  // namespace buckram::report
