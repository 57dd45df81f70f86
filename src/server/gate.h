// Who may speak to the server: decided on the head of a request, before its body is read.
//
// The page runs on the same machine as every other page that its browser has open, so binding to
// the loopback address is not enough. What is kept off, and how:
//   another site whose name leads here (DNS rebinding)   exactly one Host, the one we were given
//   another site's scripts and forms                     Origin, Sec-Fetch-Site (W3C Fetch
//                                                        Metadata), a field of our own on writes,
//                                                        which no form can send and for which no
//                                                        other origin is given leave
//   other people on the machine or the network           a token of 128 bits or more, in a strict
//                                                        cookie, compared in constant time
#pragma once

#include "server/message.h"

#include <optional>
#include <string>
#include <string_view>

namespace buckram::server {

struct Gate {
  std::string host;    // "127.0.0.1:8040": what Host must say, with its port unless that is 80
  std::string token;   // kLeastToken characters or more
  std::string cookie;  // its name
};
inline constexpr std::size_t kLeastToken = 32;  // characters, of letters, digits, - and _

bool is_token(std::string_view text);

// Takes as long for any two texts of one length.
bool is_same(std::string_view a, std::string_view b);

// The answer to a request that goes no further: refused, or sent on from the printed address to the
// page with the token in a cookie. Nothing: let in. `head.method` may be anything.
std::optional<Response> stopped_at(const Gate& gate, const Head& head);

// Fields that every answer carries.
const std::vector<Field>& fixed_fields();

}  // namespace buckram::server
