#include "base/error.h"

#include <array>
#include <cstdio>
#include <cstdlib>
#include <utility>

namespace buckram::base {
namespace {

constexpr std::array kKinds{
    ErrorKind{"bad_artwork", 2, 422, "The artwork cannot be used."},
    ErrorKind{"bad_job", 2, 422, "The job cannot be planned as asked."},
    ErrorKind{"bad_data", 2, 422, "A data file cannot be used."},
    ErrorKind{"bad_stitches", 2, 422, "The stitches cannot be read."},
    ErrorKind{"unknown_name", 2, 422, "The name is not known."},
    ErrorKind{"limit_broken", 2, 422, "The plan breaks a limit and was not written."},
    ErrorKind{"cannot_read", 2, 422, "A file cannot be read."},
    ErrorKind{"cannot_write", 2, 507, "A file cannot be written."},
    ErrorKind{"cancelled", 2, 409, "Stopped."},
};
static_assert(kKinds.size() == static_cast<std::size_t>(ErrorCode::count_));

// Ends with a full stop unless it ends as a sentence already.
std::string sentence(std::string text) {
  if (!text.empty() && std::string_view(".?!").find(text.back()) == std::string_view::npos) {
    text += '.';
  }
  return text;
}

}  // namespace

const ErrorKind& error_kind(ErrorCode code) {
  return kKinds.at(static_cast<std::size_t>(code));
}

std::string message(const Error& error) {
  std::string text;
  if (!error.where.empty()) text += error.where + ": ";
  text += sentence(error.what);
  if (!error.hint.empty()) text += ' ' + sentence(error.hint);
  return text;
}

Error within(Error error, std::string_view outer) {
  error.where = error.where.empty() ? std::string(outer) : std::string(outer) + ": " + error.where;
  return error;
}

void assertion_failed(const char* expression, const char* file, int line) {
  std::fprintf(stderr, "buckram: internal fault: %s does not hold (%s:%d)\n", expression, file,
               line);
#ifdef FUZZING_BUILD_MODE_UNSAFE_FOR_PRODUCTION
  std::abort();  // the fuzzer keeps the input only of what it sees die
#else
  std::_Exit(3);  // the exit status of a fault of the program
#endif
}

}  // namespace buckram::base
