#include "server/http.h"

#include "server/gate.h"
#include "server/json_text.h"

#include "base/base.h"

#include <fmt/format.h>

#include <utility>  // before asio/awaitable.hpp, which uses std::exchange without it

#include <boost/asio/awaitable.hpp>
#include <boost/asio/co_spawn.hpp>
#include <boost/asio/detached.hpp>
#include <boost/asio/io_context.hpp>
#include <boost/asio/ip/tcp.hpp>
#include <boost/asio/post.hpp>
#include <boost/asio/redirect_error.hpp>
#include <boost/asio/signal_set.hpp>
#include <boost/asio/steady_timer.hpp>
#include <boost/asio/thread_pool.hpp>
#include <boost/asio/use_awaitable.hpp>
#include <boost/beast/core.hpp>
#include <boost/beast/http.hpp>

#include <sys/socket.h>

#include <atomic>
#include <cerrno>
#include <csignal>
#include <memory>

namespace buckram::server {
namespace {

namespace asio = boost::asio;
namespace beast = boost::beast;
namespace http = boost::beast::http;
using asio::ip::tcp;
using boost::system::error_code;
using Parser = http::request_parser<http::string_body>;
using Serialised = http::response<http::string_body>;
using Awaitable = asio::awaitable<void>;

constexpr std::uint64_t kMostBodyOfAll = 64u << 20;

auto into(error_code& trouble) {
  return asio::redirect_error(asio::use_awaitable, trouble);
}

std::string text_of(beast::string_view view) {
  return {view.data(), view.size()};
}

Head head_of(const Parser& parser) {
  Head head{text_of(parser.get().method_string()), text_of(parser.get().target()), {}};
  for (const auto& field : parser.get()) {
    head.fields.push_back({text_of(field.name_string()), text_of(field.value())});
  }
  return head;
}

// Status, type and fields; `response.body` is left.
void put_head(Serialised& message, const Response& response, bool keeps_open) {
  message.version(11);
  message.result(static_cast<unsigned>(response.status));
  for (const Field& each : fixed_fields()) message.set(each.name, each.value);
  if (response.status != 304) message.set(http::field::content_type, response.type);
  message.set(http::field::cache_control, "no-store");
  for (const Field& each : response.fields) message.set(each.name, each.value);
  message.keep_alive(keeps_open);
}

// What the coroutines of all connections share. Touched by the one thread that runs `io`.
struct State {
  State(const HttpOptions& o, const HttpHandlers& h)
      : options(o), handlers(h), bell(io, asio::steady_timer::time_point::max()), pool(o.workers) {}

  HttpOptions options;
  HttpHandlers handlers;
  int open = 0, streams = 0;
  asio::io_context io{1};
  asio::steady_timer bell;  // never goes off; cancelled to wake the streams
  asio::thread_pool pool;   // ends before `io` does
};

// Counts one more as long as it lives.
struct Counted {
  explicit Counted(int& n) : n_(n) { ++n_; }
  ~Counted() { --n_; }
  Counted(const Counted&) = delete;
  Counted& operator=(const Counted&) = delete;
  int& n_;
};

Response answered(const HttpHandlers& handlers, const Request& request) {
  try {
    return handlers.answer(request);
  } catch (const base::Error& error) {
    return fault(error);
  } catch (const std::exception&) {
    return fault(500, "internal", "internal fault", "", "Keep what you did and report it");
  }
}

// The answer, made by a worker while other connections go on.
asio::awaitable<Response> by_worker(State& state, Request request) {
  const auto answer = std::make_shared<Response>();
  const auto done =
      std::make_shared<asio::steady_timer>(state.io, asio::steady_timer::time_point::max());
  asio::post(state.pool, [&state, answer, done, asked = std::move(request)] {
    *answer = answered(state.handlers, asked);
    asio::post(state.io, [done] { done->cancel(); });
  });
  error_code woken;
  co_await done->async_wait(into(woken));
  co_return std::move(*answer);
}

class Connection {
 public:
  Connection(State& state, tcp::socket socket)
      : state_(state), stream_(std::move(socket)), buffer_(256 * 1024) {
    error_code ignored;
    stream_.socket().set_option(tcp::no_delay(true), ignored);
  }

  Awaitable run() {
    for (bool goes_on = true; goes_on;) goes_on = co_await one_request();
    error_code ignored;
    stream_.socket().shutdown(tcp::socket::shutdown_both, ignored);
  }

 private:
  // False: the connection is over.
  asio::awaitable<bool> one_request() {
    if (!co_await wait_for_more()) co_return false;
    Parser parser;
    parser.header_limit(state_.options.most_head);
    parser.body_limit(kMostBodyOfAll);
    error_code trouble;
    stream_.expires_after(state_.options.head);
    co_await http::async_read_header(stream_, buffer_, parser, into(trouble));
    if (trouble) co_return co_await not_read(trouble);
    const Head head = head_of(parser);
    std::optional<Response> stopped = state_.handlers.gate(head);
    if (stopped) {
      const bool goes_on = stopped->status < 400 && parser.is_done() && parser.keep_alive();
      co_return co_await send(std::move(*stopped), head.method == "HEAD", goes_on);
    }
    if (!co_await read_body(parser, head)) co_return false;
    co_return co_await answer(parser, head);
  }

  asio::awaitable<bool> wait_for_more() {
    if (buffer_.size() > 0) co_return true;
    error_code trouble;
    stream_.expires_after(state_.options.idle);
    const std::size_t n = co_await stream_.async_read_some(buffer_.prepare(4096), into(trouble));
    buffer_.commit(n);
    co_return !trouble && n > 0;
  }

  asio::awaitable<bool> not_read(error_code trouble) {
    if (trouble == http::error::body_limit) {
      co_return co_await send(fault(413, "too_large", "the body is too large"), false, false);
    }
    if (trouble == http::error::header_limit || trouble == http::error::buffer_overflow) {
      co_return co_await send(fault(431, "too_large", "the head is too large"), false, false);
    }
    const bool is_gone = trouble == http::error::end_of_stream || trouble == asio::error::eof ||
                         trouble == beast::error::timeout ||
                         trouble == asio::error::connection_reset ||
                         trouble == http::error::partial_message;
    if (!is_gone) {
      co_return co_await send(fault(400, "bad_request", "this is not an HTTP request"), false,
                              false);
    }
    co_return false;
  }

  asio::awaitable<bool> read_body(Parser& parser, const Head& head) {
    const std::uint64_t most = state_.handlers.most_body(head);
    const auto length = parser.content_length();
    if (length && *length > most) {
      co_await send(
          fault(413, "too_large", fmt::format("the body has {} bytes; {} at most", *length, most)),
          false, false);
      co_return false;
    }
    if (parser.is_done()) co_return true;
    parser.body_limit(most);
    error_code trouble;
    stream_.expires_after(state_.options.body);
    if (value_of(head, "Expect") == "100-continue") {
      const std::string_view go_on = "HTTP/1.1 100 Continue\r\n\r\n";
      co_await asio::async_write(stream_, asio::buffer(go_on.data(), go_on.size()), into(trouble));
      if (trouble) co_return false;
    }
    co_await http::async_read(stream_, buffer_, parser, into(trouble));
    if (trouble) co_await not_read(trouble);
    co_return !trouble;
  }

  asio::awaitable<bool> answer(Parser& parser, const Head& head) {
    const bool is_head = head.method == "HEAD";
    std::optional<Target> target = read_target(head.target);
    if (!target) {
      co_return co_await send(fault(400, "bad_request", "the address cannot be read"), is_head,
                              false);
    }
    const bool keeps_open = parser.keep_alive();
    Request request{is_head ? "GET" : head.method, std::move(*target),
                    std::move(parser.get().body()), std::string(value_of(head, "If-None-Match")),
                    std::string(value_of(head, "Accept-Encoding"))};
    Response response = co_await by_worker(state_, std::move(request));
    if (response.events && !is_head) {
      co_await stream_events(std::move(response));
      co_return false;
    }
    co_return co_await send(std::move(response), is_head, keeps_open);
  }

  asio::awaitable<bool> send(Response response, bool is_head, bool goes_on) {
    Serialised message;
    put_head(message, response, goes_on);
    const std::size_t size = response.kept.empty() ? response.body.size() : response.kept.size();
    if (response.status != 304) message.content_length(size);
    error_code trouble;
    stream_.expires_after(state_.options.taking);
    http::response_serializer<http::string_body> serializer(message);
    co_await http::async_write_header(stream_, serializer, into(trouble));
    if (!trouble && !is_head && size > 0) {
      const auto bytes = response.kept.empty() ? asio::const_buffer(response.body.data(), size)
                                               : asio::const_buffer(response.kept.data(), size);
      co_await asio::async_write(stream_, bytes, into(trouble));
    }
    if (!trouble && !goes_on) co_await linger();
    co_return !trouble && goes_on;
  }

  // What the client still sends is read and thrown away for a moment: closing at once would make
  // its machine drop the answer unread.
  Awaitable linger() {
    error_code trouble;
    stream_.socket().shutdown(tcp::socket::shutdown_send, trouble);
    stream_.expires_after(std::chrono::seconds(2));
    char waste[16 * 1024];
    for (std::size_t n_all = 0; !trouble && n_all < (4u << 20);) {
      n_all += co_await stream_.async_read_some(asio::buffer(waste), into(trouble));
    }
  }

  // A client that has gone reads as the end of what it sends.
  bool has_gone() {
    char next = 0;
    const auto n = ::recv(stream_.socket().native_handle(), &next, 1, MSG_PEEK | MSG_DONTWAIT);
    return n == 0 || (n < 0 && errno != EAGAIN && errno != EWOULDBLOCK);
  }

  Awaitable stream_events(Response response) {
    if (state_.streams >= state_.options.most_streams) {
      co_await send(fault(503, "busy", "too many pages listen already", "", "Close some"), false,
                    false);
      co_return;
    }
    const Counted counted(state_.streams);
    Serialised message;
    response.type = "text/event-stream";
    put_head(message, response, false);
    message.chunked(true);
    http::response_serializer<http::string_body> serializer(message);
    error_code trouble;
    stream_.expires_after(state_.options.taking);
    co_await http::async_write_header(stream_, serializer, into(trouble));
    auto last = std::chrono::steady_clock::now();
    while (!trouble) {
      std::optional<std::string> news = response.events();
      if (!news) break;
      const auto now = std::chrono::steady_clock::now();
      if (news->empty() && now - last > std::chrono::seconds(9)) *news = ": still here\n\n";
      if (news->empty()) {
        error_code woken;
        co_await state_.bell.async_wait(into(woken));
        if (has_gone()) break;
        continue;
      }
      last = now;
      stream_.expires_after(state_.options.taking);
      co_await asio::async_write(stream_, http::make_chunk(asio::buffer(*news)), into(trouble));
    }
    if (!trouble) {
      co_await asio::async_write(stream_, http::make_chunk_last(), into(trouble));
    }
  }

  State& state_;
  beast::tcp_stream stream_;
  beast::flat_buffer buffer_;
};

Awaitable serve_connection(State& state, tcp::socket socket) {
  const Counted counted(state.open);
  Connection connection(state, std::move(socket));
  try {
    co_await connection.run();
  } catch (const std::exception&) {  // a socket that cannot be used any more
  }
}

Awaitable accept_all(State& state, tcp::acceptor& acceptor) {
  asio::steady_timer pause(state.io);
  while (acceptor.is_open()) {
    error_code trouble;
    const bool is_full = state.open >= state.options.most_connections;
    if (!is_full) {
      tcp::socket socket = co_await acceptor.async_accept(into(trouble));
      if (!trouble) {
        asio::co_spawn(state.io, serve_connection(state, std::move(socket)), asio::detached);
        continue;
      }
    }
    // Full, or out of file handles: those that wait stay in the system's queue.
    pause.expires_after(std::chrono::milliseconds(20));
    co_await pause.async_wait(into(trouble));
  }
}

// Wakes the streams now and then, so that they tell their clients that they are still there.
Awaitable ring_now_and_then(State& state) {
  asio::steady_timer pause(state.io);
  while (true) {
    error_code trouble;
    pause.expires_after(std::chrono::seconds(5));
    co_await pause.async_wait(into(trouble));
    state.bell.cancel();
  }
}

tcp::acceptor bound(State& state) {
  const HttpOptions& o = state.options;
  tcp::acceptor acceptor(state.io);
  try {
    const tcp::endpoint at(asio::ip::make_address(o.bind), o.port);
    acceptor.open(at.protocol());
    acceptor.set_option(tcp::acceptor::reuse_address(true));
    acceptor.bind(at);
    acceptor.listen(1024);
  } catch (const boost::system::system_error& error) {
    throw base::Error{base::ErrorCode::bad_job, "cannot listen there: " + error.code().message(),
                      fmt::format("{}:{}", o.bind, o.port),
                      "Choose another port with --port, or stop what uses it"};
  }
  return acceptor;
}

std::function<void()> bell_of(State& state) {
  const auto is_due = std::make_shared<std::atomic<bool>>(false);
  return [&state, is_due] {
    if (is_due->exchange(true)) return;
    asio::post(state.io, [&state, is_due] {
      is_due->store(false);
      state.bell.cancel();
    });
  };
}

}  // namespace

void serve_http(const HttpOptions& options, const HttpHandlers& handlers) {
  State state(options, handlers);
  tcp::acceptor acceptor = bound(state);
  asio::signal_set signals(state.io, SIGINT, SIGTERM);
  signals.async_wait([&](error_code trouble, int) {
    if (!trouble) state.io.stop();
  });
  asio::co_spawn(state.io, accept_all(state, acceptor), asio::detached);
  asio::co_spawn(state.io, ring_now_and_then(state), asio::detached);
  handlers.ready(acceptor.local_endpoint().port(), bell_of(state));
  state.io.run();
  handlers.stopping();
  state.pool.join();
}

}  // namespace buckram::server
