#include "server/squeeze.h"

#include "base/base.h"

#include <zlib.h>

#include <algorithm>

namespace buckram::server {
namespace {

constexpr std::size_t kLeast = 1024;
constexpr int kLevel = 4, kGzipWindow = 15 + 16, kMemory = 8;

bool is_text(const std::string& type) {
  return type.starts_with("text/") || type.starts_with("application/json") ||
         type.starts_with("image/svg");
}

}  // namespace

std::string gzip(std::string_view bytes) {
  z_stream stream{};
  BUCKRAM_ASSERT(
      deflateInit2(&stream, kLevel, Z_DEFLATED, kGzipWindow, kMemory, Z_DEFAULT_STRATEGY) == Z_OK);
  std::string out(deflateBound(&stream, bytes.size()), '\0');
  // zlib reads what it is given and does not write to it.
  stream.next_in = reinterpret_cast<Bytef*>(const_cast<char*>(bytes.data()));
  stream.avail_in = static_cast<uInt>(bytes.size());
  stream.next_out = reinterpret_cast<Bytef*>(out.data());
  stream.avail_out = static_cast<uInt>(out.size());
  const int ended = deflate(&stream, Z_FINISH);
  out.resize(stream.total_out);
  deflateEnd(&stream);
  BUCKRAM_ASSERT(ended == Z_STREAM_END);
  return out;
}

void squeeze(std::string_view accepts, Response& response) {
  const std::string_view body = response.kept.empty()
                                    ? std::string_view(response.body)
                                    : std::string_view(response.kept.data(), response.kept.size());
  if (body.size() < kLeast || response.events || !is_text(response.type)) return;
  response.fields.push_back({"Vary", "Accept-Encoding"});
  const bool is_taken = accepts.find("gzip") != std::string_view::npos &&
                        accepts.find("gzip;q=0") == std::string_view::npos;
  if (!is_taken) return;
  response.body = gzip(body);
  response.kept = {};
  response.fields.push_back({"Content-Encoding", "gzip"});
}

}  // namespace buckram::server
