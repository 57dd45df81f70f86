#include "machine/thread_comment.h"

#include <fmt/format.h>

#include <algorithm>
#include <charconv>

namespace buckram::machine {
namespace {

constexpr std::size_t kMostCharacters = 60;
constexpr std::string_view kNumber = "no. ";

// Takes `prefix` off the front of `text`; false when it is not there.
bool take(std::string_view& text, std::string_view prefix) {
  if (!text.starts_with(prefix)) return false;
  text.remove_prefix(prefix.size());
  return true;
}

// Takes a number within [low, high] off the front.
template <typename Number>
bool take_number(std::string_view& text, Number low, Number high, Number& number) {
  const auto [end, trouble] = std::from_chars(text.data(), text.data() + text.size(), number);
  if (trouble != std::errc{} || !(number >= low && number <= high)) return false;
  text.remove_prefix(static_cast<std::size_t>(end - text.data()));
  return true;
}

std::string_view take_word(std::string_view& text) {
  const std::size_t end = std::min(text.find(','), text.size());
  const std::string_view word = text.substr(0, end);
  text.remove_prefix(end);
  return word;
}

bool is_rgb(std::string_view text) {
  return text.size() == 7 && text[0] == '#' &&
         text.find_first_not_of("0123456789abcdefABCDEF", 1) == std::string_view::npos;
}

}  // namespace

std::string plain_comment(std::string_view text) {
  std::string plain;
  for (const char c : text.substr(0, kMostCharacters)) {
    const bool is_plain = c >= ' ' && c <= '~' && c != '(' && c != ')' && c != ';';
    plain += is_plain ? c : '_';
  }
  return plain;
}

std::string comment_of(const stitch::PlanThread& thread) {
  // A name that begins as a number does is told apart by an empty number before it.
  std::string number = plain_comment(thread.number);
  std::replace(number.begin(), number.end(), ',', '_');
  const bool has_number = !number.empty() || thread.name.starts_with(kNumber);
  return fmt::format("(thread: needle {}, {}, tex {:g}, {}{})", thread.needle,
                     plain_comment(thread.rgb), thread.tex,
                     has_number ? fmt::format("{}{}, ", kNumber, number) : "",
                     plain_comment(thread.name));
}

std::optional<stitch::PlanThread> thread_in(std::string_view comment) {
  stitch::PlanThread thread;
  const bool has_needle =
      take(comment, "thread: needle ") && take_number(comment, 1, 1000, thread.needle);
  if (!has_needle || !take(comment, ", ")) return std::nullopt;
  const std::string_view rgb = take_word(comment);
  if (!is_rgb(rgb) || !take(comment, ", tex ")) return std::nullopt;
  if (!take_number(comment, 1.0, 1000.0, thread.tex) || !take(comment, ", ")) return std::nullopt;
  thread.rgb = rgb;
  if (comment.starts_with(kNumber) && comment.find(", ") != std::string_view::npos) {
    take(comment, kNumber);
    thread.number = take_word(comment);
    take(comment, ", ");
  }
  thread.name = comment;
  return thread;
}

std::optional<BlockComment> block_in(std::string_view comment) {
  BlockComment block;
  const bool has_object =
      take(comment, "block: object ") && take_number(comment, 1, 10'000'000, block.object);
  if (!has_object || !take(comment, ", ")) return std::nullopt;
  const auto kind = kind_named(take_word(comment));
  if (!kind || !take(comment, ", ")) return std::nullopt;
  const auto layer = layer_named(take_word(comment));
  if (!layer) return std::nullopt;
  if (take(comment, ", ") &&
      !(take_number(comment, 1.0, 10'000.0, block.speed_spm) && take(comment, " a minute")))
    return std::nullopt;
  if (!comment.empty()) return std::nullopt;
  block.kind = *kind;
  block.layer = *layer;
  return block;
}

std::optional<stitch::Kind> kind_named(std::string_view name) {
  for (const auto kind : {stitch::Kind::column, stitch::Kind::fill, stitch::Kind::run}) {
    if (name == stitch::name(kind)) return kind;
  }
  return std::nullopt;
}

std::optional<stitch::Layer> layer_named(std::string_view name) {
  using stitch::Layer;
  for (const auto layer : {Layer::under, Layer::top, Layer::lock, Layer::travel}) {
    if (name == stitch::name(layer)) return layer;
  }
  return std::nullopt;
}

}  // namespace buckram::machine
