// Targets, heads and bodies of requests: whatever comes in is read or refused.
#include "server/break_log.h"
#include "server/gate.h"
#include "server/record.h"
#include "server/request_body.h"
#include "server/store.h"

#include "base/base.h"

#include <cstdint>
#include <cstdlib>
#include <string>

namespace {

using namespace buckram::server;

template <class Read>
void try_to(const Read& read) {
  try {
    read();
  } catch (const buckram::base::Error&) {
  } catch (const NotJson&) {
  }
}

void check(bool holds) {
  if (!holds) std::abort();
}

// No piece of a path leads anywhere else.
void check_target(const std::string& text) {
  const auto target = read_target(text);
  if (!target) return;
  for (const std::string& piece : target->path) {
    check(!piece.empty() && piece != ".." && piece.find('/') == std::string::npos);
  }
}

// Nobody gets in without the token, whatever else is sent.
void check_gate(const std::string& text) {
  const Gate gate{"127.0.0.1:8040", "abcdefghijklmnopqrstuvwxyz234567", "buckram-8040"};
  const std::size_t half = text.size() / 2;
  const Head head{
      "GET", text.substr(0, half), {{"Host", "127.0.0.1:8040"}, {"Cookie", text.substr(half)}}};
  const bool has_token = text.find(gate.token) != std::string::npos;
  check(stopped_at(gate, head).has_value() || has_token);
}

}  // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  const std::string text(reinterpret_cast<const char*>(data), size);
  check_target(text);
  check_gate(text);
  try_to([&] { read_asked(text); });
  try_to([&] { read_break(text); });
  try_to([&] { read_ticks(text); });
  try_to([&] { check(is_id(read_record(text, "fuzz").id)); });
  standing_json(text);
  const std::string name = clean_name(text);
  check(name.find('/') == std::string::npos && (name.empty() || name[0] != '.'));
  check(buckram::base::is_utf8(name) && is_id(new_id(text)));
  return 0;
}
