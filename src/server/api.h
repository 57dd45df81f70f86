// The routes of the API (docs/api.md).
#pragma once

#include "server/jobs.h"
#include "server/message.h"
#include "server/store.h"

#include "base/base.h"
#include "job/job.h"

#include <atomic>
#include <string>

namespace buckram::server {

// Most bytes of an artwork, and of every other body.
inline constexpr std::uint64_t kMostArtwork = 16u << 20, kMostBody = 1u << 20;

class Api {
 public:
  Api(Jobs& jobs, Store& store, job::DataFolder data, std::string version);

  // Stops offers that are being worked out.
  void stop() { stop_.store(true); }

  // Whether the path is the API's.
  static bool takes(const Target& target);
  static std::uint64_t most_body(const Head& head);

  // Never throws but for faults of the program.
  Response answer(const Request& request);

 private:
  Response routed(const Request& request);
  Response of_jobs(const Request& request);
  Response of_job(const Request& request, const std::string& id);
  Response of_floor(const Request& request, const std::string& id);
  Response log_break(const Record& record, const std::string& body);
  Response file(const Request& request, const std::string& id, const std::string& name);
  Response artwork(const Request& request);
  Response list(const Request& request);
  Response create(const Request& request);
  Response see(const std::string& id);
  Response change(const std::string& id, const std::string& body);
  Response events(const std::string& id);
  Response ground(const std::string& body);
  Response offers(const std::string& body);
  Step step_below(const Asked& asked);

  Jobs& jobs_;
  Store& store_;
  job::DataFolder data_;
  std::string version_;
  base::StopFlag stop_{false};
  std::atomic<int> n_offers_{0};
};

}  // namespace buckram::server
