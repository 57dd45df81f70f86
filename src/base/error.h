// What goes wrong outside the program: bad input, files, cancellation.
//
// One error type, thrown where the trouble is found and caught once at each face. Faults of the
// program itself are BUCKRAM_ASSERT and never caught. Findings about the world ("would break",
// "cannot be placed") are data in results, never errors.
#pragma once

#include <string>
#include <string_view>

namespace buckram::base {

enum class ErrorCode {
  bad_artwork,   // the artwork cannot be read, or breaks a limit on its size
  bad_job,       // a job file, --set value or command line that makes no sense
  bad_data,      // a cap, mount, fabric, needle or thread file
  bad_stitches,  // a plan or stitch file
  unknown_name,  // a name that is not in the list it was looked up in
  limit_broken,  // a plan that breaks a craft limit; it is not written
  cannot_read,   // a file that is missing or unreadable
  cannot_write,  // a file or folder that cannot be written
  cancelled,     // stopped by the user
  count_         // number of codes; keeps the table complete
};

// Thrown for bad input, I/O and cancellation. `what` names the value and the limit, `where` the
// file, element or key, `hint` what to do next. Empty parts are left out of the message.
struct Error {
  ErrorCode code = ErrorCode::bad_job;
  std::string what;
  std::string where;
  std::string hint;
};

struct ErrorKind {
  std::string_view name;      // in JSON answers
  int exit_status;            // of the command line
  int http_status;            // of the page server
  std::string_view sentence;  // what happened, in general
};

// The one table of codes.
const ErrorKind& error_kind(ErrorCode code);

// "where: what. hint" as one line for people; parts that are empty are left out.
std::string message(const Error& error);

// The same error, seen from further out: `outer` is put before `where` ("crest.svg: path 3").
Error within(Error error, std::string_view outer);

[[noreturn]] void assertion_failed(const char* expression, const char* file, int line);

}  // namespace buckram::base

// A fault of the program, never of its input. Stays on in release builds: a wrong plan costs more
// than a stopped one.
#define BUCKRAM_ASSERT(expression) \
  ((expression) ? void(0) : ::buckram::base::assertion_failed(#expression, __FILE__, __LINE__))
