// Answers compressed for browsers that take it.
#pragma once

#include "server/message.h"

#include <string>
#include <string_view>

namespace buckram::server {

// RFC 1952, fast rather than small.
std::string gzip(std::string_view bytes);

// Compresses the body of texts above 1 KB; `accepts` is the request's Accept-Encoding. Pictures and
// PDFs are compressed already and stay as they are.
void squeeze(std::string_view accepts, Response& response);

}  // namespace buckram::server
