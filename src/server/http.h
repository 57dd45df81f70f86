// The one wrapper of the HTTP library: connections, limits and event streams.
//
// One thread does all reading and writing; answers are made by a few workers, so that a slow one
// holds up nobody. A client that stalls costs a socket until its time is up, nothing more.
#pragma once

#include "server/message.h"

#include <chrono>
#include <cstdint>
#include <functional>
#include <optional>
#include <string>

namespace buckram::server {

struct HttpOptions {
  std::string bind = "127.0.0.1";
  unsigned short port = 0;              // 0: any that is free
  int most_connections = 2048;          // more wait until one closes
  int most_streams = 512;               // more are answered with 503
  std::uint32_t most_head = 16 * 1024;  // bytes
  // For an idle connection; a head once begun; a body; one answer or event to be taken.
  std::chrono::seconds idle{60}, head{10}, body{60}, taking{30};
  int workers = 4;
};

struct HttpHandlers {
  // On the head alone, before the body is read; what it gives ends the connection if 400 or above.
  std::function<std::optional<Response>(const Head&)> gate;
  std::function<std::uint64_t(const Head&)> most_body;  // bytes; more is answered with 413
  std::function<Response(const Request&)> answer;       // by a worker, several at a time
  // Once, before the first request: the port, and a bell that makes every event stream look for
  // news. The bell may be rung from any thread until `stopping` returns.
  std::function<void(unsigned short port, std::function<void()> ring)> ready;
  // Once, at the end: answers that are being made are to stop, and threads that ring the bell.
  std::function<void()> stopping;
};

// Serves until SIGINT or SIGTERM. Throws Error{bad_job} when the address cannot be bound.
void serve_http(const HttpOptions& options, const HttpHandlers& handlers);

}  // namespace buckram::server
