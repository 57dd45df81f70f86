#include "server/target.h"

#include "base/base.h"

#include <algorithm>

namespace buckram::server {
namespace {

int digit_of(char c) {
  if (c >= '0' && c <= '9') return c - '0';
  if (c >= 'A' && c <= 'F') return c - 'A' + 10;
  if (c >= 'a' && c <= 'f') return c - 'a' + 10;
  return -1;
}

bool is_plain(const std::string& text) {
  return base::is_utf8(text) && std::none_of(text.begin(), text.end(), [](char c) {
           return static_cast<unsigned char>(c) < 0x20 || c == 0x7f;
         });
}

// With `plus_is_blank` as forms write a query.
std::optional<std::string> decoded(std::string_view text, bool plus_is_blank) {
  std::string out;
  for (std::size_t i = 0; i < text.size(); ++i) {
    if (text[i] == '+' && plus_is_blank) {
      out += ' ';
    } else if (text[i] != '%') {
      out += text[i];
    } else {
      if (i + 2 >= text.size()) return std::nullopt;
      const int high = digit_of(text[i + 1]), low = digit_of(text[i + 2]);
      if (high < 0 || low < 0) return std::nullopt;
      out += static_cast<char>(16 * high + low);
      i += 2;
    }
  }
  if (!is_plain(out)) return std::nullopt;
  return out;
}

bool is_piece(const std::string& piece) {
  return !piece.empty() && piece != "." && piece != ".." &&
         piece.find_first_of("/\\") == std::string::npos;
}

// Calls `take` with every piece between separators until one is refused.
template <class Take>
bool each_piece(std::string_view text, char separator, const Take& take) {
  while (true) {
    const std::size_t end = text.find(separator);
    if (!take(text.substr(0, end))) return false;
    if (end == std::string_view::npos) return true;
    text.remove_prefix(end + 1);
  }
}

}  // namespace

std::optional<Target> read_target(std::string_view text) {
  if (text.empty() || text[0] != '/' || text.size() > kLongestTarget) return std::nullopt;
  Target target;
  const std::size_t mark = text.find('?');
  const std::string_view path = text.substr(1, mark == std::string_view::npos ? mark : mark - 1);
  const auto take_piece = [&](std::string_view piece) {
    std::optional<std::string> plain = decoded(piece, false);
    if (!plain || !is_piece(*plain)) return false;
    target.path.push_back(std::move(*plain));
    return true;
  };
  if (!path.empty() && !each_piece(path, '/', take_piece)) return std::nullopt;
  if (mark == std::string_view::npos) return target;
  const auto take_pair = [&](std::string_view pair) {
    const std::size_t equals = pair.find('=');
    std::optional<std::string> name = decoded(pair.substr(0, equals), true);
    std::optional<std::string> value =
        decoded(equals == std::string_view::npos ? "" : pair.substr(equals + 1), true);
    if (!name || !value) return false;
    target.query.emplace_back(std::move(*name), std::move(*value));
    return true;
  };
  if (!each_piece(text.substr(mark + 1), '&', take_pair)) return std::nullopt;
  return target;
}

std::optional<std::string> query_of(const Target& target, std::string_view name) {
  for (const auto& [key, value] : target.query) {
    if (key == name) return value;
  }
  return std::nullopt;
}

}  // namespace buckram::server
