// The built program's page server in a folder of its own, spoken to over raw sockets: what goes
// over the wire is what a test says.
#pragma once

#include "base/base.h"

#include <arpa/inet.h>
#include <netinet/in.h>
#include <poll.h>
#include <signal.h>
#include <sys/socket.h>
#include <sys/wait.h>
#include <unistd.h>

#include <chrono>
#include <cstdlib>
#include <cstring>
#include <filesystem>
#include <functional>
#include <fstream>
#include <sstream>
#include <string>
#include <thread>
#include <vector>

namespace buckram::server {

namespace fs = std::filesystem;
using Clock = std::chrono::steady_clock;

struct Reply {
  int status = 0;  // 0: none came
  std::string head, body;
  std::string field(const std::string& name) const {
    const std::size_t at = head.find("\r\n" + name + ": ");
    if (at == std::string::npos) return "";
    const std::size_t from = at + name.size() + 4;
    return head.substr(from, head.find("\r\n", from) - from);
  }
};

// One connection.
class Wire {
 public:
  explicit Wire(int port) : socket_(::socket(AF_INET, SOCK_STREAM | SOCK_CLOEXEC, 0)) {
    sockaddr_in at{};
    at.sin_family = AF_INET;
    at.sin_port = htons(static_cast<std::uint16_t>(port));
    at.sin_addr.s_addr = htonl(INADDR_LOOPBACK);
    is_open_ = ::connect(socket_, reinterpret_cast<sockaddr*>(&at), sizeof at) == 0;
  }
  ~Wire() { ::close(socket_); }
  Wire(const Wire&) = delete;
  Wire& operator=(const Wire&) = delete;

  bool is_open() const { return is_open_; }
  bool send(const std::string& bytes) const {
    for (std::size_t n = 0; n < bytes.size();) {
      const ssize_t k = ::send(socket_, bytes.data() + n, bytes.size() - n, MSG_NOSIGNAL);
      if (k <= 0) return false;
      n += static_cast<std::size_t>(k);
    }
    return true;
  }
  // More bytes, or false at the end or when the time is up.
  bool more(double seconds = 20) {
    pollfd ready{socket_, POLLIN, 0};
    if (::poll(&ready, 1, static_cast<int>(1000 * seconds)) <= 0) return false;
    char buffer[1 << 16];
    const ssize_t n = ::recv(socket_, buffer, sizeof buffer, 0);
    if (n <= 0) return false;
    in_.append(buffer, static_cast<std::size_t>(n));
    return true;
  }
  // The next answer, by its Content-Length.
  Reply reply(bool is_head = false, double seconds = 20) {
    std::size_t end;
    while ((end = in_.find("\r\n\r\n")) == std::string::npos) {
      if (!more(seconds)) return {};
    }
    Reply reply{std::atoi(in_.c_str() + 9), in_.substr(0, end + 2), ""};
    in_.erase(0, end + 4);
    const std::size_t size =
        is_head ? 0 : static_cast<std::size_t>(std::atol(reply.field("Content-Length").c_str()));
    while (in_.size() < size) {
      if (!more(seconds)) return reply;
    }
    reply.body = in_.substr(0, size);
    in_.erase(0, size);
    return reply;
  }
  // Waits until the text has come in; for event streams.
  bool hears(const std::string& text, double seconds = 60) {
    const auto until = Clock::now() + std::chrono::duration<double>(seconds);
    while (in_.find(text) == std::string::npos) {
      const double left = std::chrono::duration<double>(until - Clock::now()).count();
      if (left <= 0 || !more(left)) return in_.find(text) != std::string::npos;
    }
    return true;
  }
  const std::string& heard() const { return in_; }
  void forget() { in_.clear(); }
  // Whether the other side has closed within that time.
  bool is_closed(double seconds) {
    const auto until = Clock::now() + std::chrono::duration<double>(seconds);
    while (Clock::now() < until) {
      const std::size_t before = in_.size();
      if (!more(std::chrono::duration<double>(until - Clock::now()).count()) &&
          in_.size() == before)
        return Clock::now() < until;
    }
    return false;
  }

 private:
  int socket_;
  bool is_open_ = false;
  std::string in_;
};

// A folder that goes with the test.
class Folder {
 public:
  Folder() {
    std::string pattern = (fs::temp_directory_path() / "buckram-serve-XXXXXX").string();
    if (mkdtemp(pattern.data()) == nullptr) std::abort();
    path_ = pattern;
  }
  ~Folder() { fs::remove_all(path_); }
  Folder(const Folder&) = delete;
  Folder& operator=(const Folder&) = delete;
  const fs::path& path() const { return path_; }
  std::string get(const fs::path& name) const {
    std::ifstream in(path_ / name, std::ios::binary);
    std::stringstream all;
    all << in.rdbuf();
    return all.str();
  }

 private:
  fs::path path_;
};

class Served {
 public:
  explicit Served(const Folder& folder, const std::vector<std::string>& more = {})
      : folder_(folder) {
    start(more);
  }
  ~Served() { stop(SIGKILL); }
  Served(const Served&) = delete;
  Served& operator=(const Served&) = delete;

  void start(const std::vector<std::string>& more = {}) {
    int pipe[2];
    if (::pipe(pipe) != 0) std::abort();
    pid_ = ::fork();
    if (pid_ == 0) {
      ::dup2(pipe[1], STDOUT_FILENO);
      ::dup2(pipe[1], STDERR_FILENO);
      ::close(pipe[0]);
      ::close(pipe[1]);
      std::vector<std::string> words{
          BUCKRAM_BUILD "/bin/buckram",      "serve", "--port", "0", "--folder",
          (folder_.path() / "jobs").string()};
      words.insert(words.end(), more.begin(), more.end());
      std::vector<char*> argv;
      for (std::string& word : words) argv.push_back(word.data());
      argv.push_back(nullptr);
      ::execv(argv[0], argv.data());
      ::_exit(127);
    }
    ::close(pipe[1]);
    said_.clear();
    char c;
    while (::read(pipe[0], &c, 1) == 1) {
      said_ += c;
      if (c == '\n' && said_.find("/?t=") != std::string::npos) break;
    }
    ::close(pipe[0]);
    const std::size_t colon = said_.find(':', said_.find("http://") + 7);
    const std::size_t mark = said_.find("/?t=");
    if (mark == std::string::npos) return;
    host_ = said_.substr(said_.find("http://") + 7, mark - said_.find("http://") - 7);
    port_ = std::atoi(said_.c_str() + colon + 1);
    token_ = said_.substr(mark + 4, said_.find('\n', mark) - mark - 4);
  }
  // Its exit status, or 128 + signal.
  int stop(int signal) {
    if (pid_ <= 0) return status_;
    ::kill(pid_, signal);
    return wait();
  }
  int wait() {
    int raw = 0;
    ::waitpid(pid_, &raw, 0);
    pid_ = 0;
    return status_ = WIFEXITED(raw) ? WEXITSTATUS(raw) : 128 + WTERMSIG(raw);
  }

  int port() const { return port_; }
  pid_t pid() const { return pid_; }
  const std::string& host() const { return host_; }
  const std::string& token() const { return token_; }
  const std::string& said() const { return said_; }
  const Folder& folder() const { return folder_; }

  // What every request of the page carries.
  std::string own_fields() const {
    return "Host: " + host_ + "\r\nCookie: buckram-" + std::to_string(port_) + "=" + token_ +
           "\r\n";
  }
  std::string request(const std::string& method, const std::string& target,
                      const std::string& body = "", const std::string& more = "") const {
    std::string text = method + " " + target + " HTTP/1.1\r\n" + own_fields() + more;
    if (method != "GET" && method != "HEAD") text += "X-Buckram: 1\r\n";
    if (!body.empty()) text += "Content-Length: " + std::to_string(body.size()) + "\r\n";
    return text + "\r\n" + body;
  }
  Reply ask(const std::string& method, const std::string& target, const std::string& body = "",
            const std::string& more = "") const {
    Wire wire(port_);
    wire.send(request(method, target, body, more));
    return wire.reply(method == "HEAD", 120);
  }
  Reply get(const std::string& target) const { return ask("GET", target); }
  // Bytes as they stand.
  Reply raw(const std::string& bytes) const {
    Wire wire(port_);
    wire.send(bytes);
    return wire.reply();
  }

 private:
  const Folder& folder_;
  pid_t pid_ = 0;
  int port_ = 0, status_ = -1;
  std::string host_, token_, said_;
};

// The text of a field of a flat piece of JSON: "id":"..." gives what stands between the quotes, a
// figure or word as it is.
inline std::string value_in(const std::string& json, const std::string& key) {
  const std::size_t at = json.find("\"" + key + "\":");
  if (at == std::string::npos) return "";
  const std::size_t from = at + key.size() + 3;
  if (json[from] == '"') return json.substr(from + 1, json.find('"', from + 1) - from - 1);
  return json.substr(from, json.find_first_of(",}]", from) - from);
}

// A small mark that plans in a moment: a ring with a bar.
inline const char* const kMark =
    "<svg xmlns='http://www.w3.org/2000/svg' viewBox='0 0 100 60'>"
    "<path id='ring' fill='#24365a' fill-rule='evenodd' d='M30 5A25 25 0 1 0 30.1 5Z"
    "M30 15A15 15 0 1 1 29.9 15Z'/>"
    "<rect id='bar' x='65' y='10' width='12' height='40' fill='#c8973a'/></svg>";

inline std::string upload(const Served& served, const std::string& svg = kMark,
                          const std::string& name = "mark.svg") {
  return value_in(served.ask("POST", "/api/artwork?name=" + name, svg).body, "artwork");
}

// The id of a new job.
inline std::string create(const Served& served, const std::string& artwork,
                          const std::string& settings) {
  const Reply reply = served.ask("POST", "/api/jobs",
                                 R"({"artwork":")" + artwork + R"(","set":[)" + settings + "]}");
  return value_in(reply.body, "id");
}

// Waits until the job is no longer being planned; its state.
inline std::string settled(const Served& served, const std::string& id, double seconds = 300) {
  const auto until = Clock::now() + std::chrono::duration<double>(seconds);
  while (Clock::now() < until) {
    const std::string state = value_in(served.get("/api/jobs/" + id).body, "state");
    if (state != "planning") return state;
    std::this_thread::sleep_for(std::chrono::milliseconds(50));
  }
  return "planning";
}

}  // namespace buckram::server
