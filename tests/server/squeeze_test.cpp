#include "server/squeeze.h"

#include <gtest/gtest.h>
#include <zlib.h>

namespace buckram::server {
namespace {

// zlib's own reader of what was written.
std::string unzipped(const std::string& bytes, std::size_t size) {
  z_stream stream{};
  inflateInit2(&stream, 15 + 16);
  std::string out(size, '\0');
  std::string in = bytes;
  stream.next_in = reinterpret_cast<Bytef*>(in.data());
  stream.avail_in = static_cast<uInt>(in.size());
  stream.next_out = reinterpret_cast<Bytef*>(out.data());
  stream.avail_out = static_cast<uInt>(out.size());
  EXPECT_EQ(inflate(&stream, Z_FINISH), Z_STREAM_END);
  inflateEnd(&stream);
  return out;
}

std::string text() {
  std::string text;
  for (int i = 0; i < 3000; ++i) text += std::to_string(i * 7919 % 1000) + ",";
  return text;
}

TEST(Squeeze, TextsComeBackAsTheyWere) {
  Response response = {200, "application/json", text()};
  squeeze("gzip, deflate, br", response);
  EXPECT_LT(response.body.size(), text().size() / 2);
  EXPECT_EQ(unzipped(response.body, text().size()), text());
}

TEST(Squeeze, OthersAreLeftAlone) {
  for (const auto& [accepts, type] :
       {std::pair{"", "application/json"}, std::pair{"br", "text/css"},
        std::pair{"gzip;q=0", "text/css"}, std::pair{"gzip", "image/png"},
        std::pair{"gzip", "application/pdf"}}) {
    Response response = {200, type, text()};
    squeeze(accepts, response);
    EXPECT_EQ(response.body, text()) << accepts << type;
  }
  Response small = {200, "application/json", "{}"};
  squeeze("gzip", small);
  EXPECT_EQ(small.body, "{}");
}

}  // namespace
}  // namespace buckram::server
