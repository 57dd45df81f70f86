#include "server/server.h"

#include "server/api.h"
#include "server/gate.h"
#include "server/http.h"
#include "server/squeeze.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cerrno>
#include <cstring>
#include <fcntl.h>
#include <filesystem>
#include <memory>
#include <sys/resource.h>
#include <sys/stat.h>
#include <unistd.h>

namespace buckram::server {
namespace fs = std::filesystem;
namespace {

using base::Error;
using base::ErrorCode;

constexpr std::uint64_t kMostPage = 32'000'000;

std::string trimmed(std::string text) {
  while (!text.empty() && static_cast<unsigned char>(text.back()) <= ' ') text.pop_back();
  return text;
}

// Readable by its owner alone from the start.
void write_secret(const std::string& path, const std::string& text) {
  const int file = ::open(path.c_str(), O_WRONLY | O_CREAT | O_EXCL | O_CLOEXEC, S_IRUSR | S_IWUSR);
  const bool is_kept =
      file >= 0 && ::write(file, text.data(), text.size()) == static_cast<ssize_t>(text.size());
  const std::string why = std::strerror(errno);
  if (file >= 0) ::close(file);
  if (!is_kept) {
    throw Error{ErrorCode::cannot_write, "cannot write: " + why, path,
                "Choose a folder you may write to, with room on its disk"};
  }
}

// Of the file, which is made with a random token when it is not there.
std::string token_of(const std::string& file) {
  std::error_code trouble;
  if (!fs::exists(file, trouble)) write_secret(file, random_word(kLeastToken) + "\n");
  const std::string token = trimmed(base::read_file(file, 10'000));
  if (!is_token(token)) {
    throw Error{ErrorCode::bad_job,
                fmt::format("is not a token: {} to 512 letters, digits, - and _", kLeastToken),
                file, "Take the file away, and one is made"};
  }
  return token;
}

std::string own_name() {
  std::array<char, 256> name{};
  return ::gethostname(name.data(), name.size() - 1) == 0 ? name.data() : "";
}

std::string host_of(const ServeOptions& options) {
  if (!options.is_lan) return "127.0.0.1";
  std::string host = options.host.empty() ? own_name() : options.host;
  std::transform(host.begin(), host.end(), host.begin(), [](char c) {
    return c >= 'A' && c <= 'Z' ? static_cast<char>(c - 'A' + 'a') : c;  // as browsers write it
  });
  const bool is_name =
      !host.empty() && host.size() <= 253 && std::all_of(host.begin(), host.end(), [](char c) {
        return (c >= 'a' && c <= 'z') || (c >= '0' && c <= '9') || c == '.' || c == '-';
      });
  if (!is_name) {
    throw Error{ErrorCode::bad_job, "is not a name or address of this machine", "--host",
                "Give what others on the network call it, without a port"};
  }
  return host;
}

// As many connections as http.h allows need as many file handles.
void raise_handles() {
  rlimit limit{};
  if (::getrlimit(RLIMIT_NOFILE, &limit) != 0) return;
  limit.rlim_cur = limit.rlim_max;
  ::setrlimit(RLIMIT_NOFILE, &limit);
}

}  // namespace

std::vector<PageFile> pages_in(const std::string& folder) {
  static std::vector<std::unique_ptr<std::string>> kept;  // for as long as the program runs
  std::vector<PageFile> pages;
  for (const auto& entry : fs::recursive_directory_iterator(folder)) {
    if (!entry.is_regular_file()) continue;
    kept.push_back(
        std::make_unique<std::string>(base::read_file(entry.path().string(), kMostPage)));
    const std::string& bytes = *kept.back();
    pages.push_back({fs::relative(entry.path(), folder).generic_string(),
                     {bytes.data(), bytes.size()},
                     fmt::format("\"{:x}-{:x}\"", bytes.size(), std::hash<std::string>{}(bytes))});
  }
  return pages;
}

void serve(const ServeOptions& options, const job::DataFolder& data, std::vector<PageFile> pages,
           const std::function<void(const Started&)>& started) {
  if (options.is_lan && options.token_file.empty()) {
    throw Error{ErrorCode::bad_job, "needs --token-file", "--lan",
                "Name a file; it is made with a token in it when it is not there"};
  }
  const std::string name = host_of(options);
  Store store(options.folder);
  const std::string token =
      token_of(options.token_file.empty() ? options.folder + "/token" : options.token_file);
  const Pages page(std::move(pages));
  raise_handles();

  Gate gate;
  std::function<void()> ring;
  std::unique_ptr<Jobs> jobs;
  std::unique_ptr<Api> api;
  HttpOptions http;
  http.bind = options.is_lan ? "0.0.0.0" : "127.0.0.1";
  http.port = options.port;
  HttpHandlers handlers;
  handlers.gate = [&](const Head& head) { return stopped_at(gate, head); };
  handlers.most_body = Api::most_body;
  handlers.answer = [&](const Request& request) {
    Response response = Api::takes(request.target) ? api->answer(request) : page.answer(request);
    squeeze(request.accept_encoding, response);
    return response;
  };
  handlers.ready = [&](unsigned short port, std::function<void()> bell) {
    ring = std::move(bell);
    gate = {port == 80 ? name : fmt::format("{}:{}", name, port), token,
            fmt::format("buckram-{}", port)};
    jobs = std::make_unique<Jobs>(store, data, ring);
    api = std::make_unique<Api>(*jobs, store, data, options.version);
    started({fmt::format("http://{}/?t={}", gate.host, token), jobs->troubles()});
  };
  handlers.stopping = [&] {
    api->stop();
    jobs->stop();
  };
  serve_http(http, handlers);
}

}  // namespace buckram::server
