#include "server/words.h"

#include "server/json_text.h"

#include <fmt/format.h>

namespace buckram::server {

std::string words_json(const advise::Verdict& verdict) {
  std::string changes;
  for (const advise::Change& each : verdict.changes) {
    changes += fmt::format(R"({}{}:{{"words":{},"why":{},"caution":{}}})",
                           changes.empty() ? "" : ",", text_json(each.id), text_json(each.words),
                           text_json(each.why), text_json(each.caution));
  }
  return fmt::format(R"({{"sentence":{},"changes":{{{}}}}})", text_json(verdict.sentence), changes);
}

}  // namespace buckram::server
