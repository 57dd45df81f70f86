// Entities that a file declares in its DOCTYPE: drawing programs use them for namespace names,
// hostile files to make a kilobyte expand to a terabyte.
#pragma once

#include <map>
#include <string>
#include <string_view>

namespace buckram::artwork {

class Entities {
 public:
  // `doctype` is what stands between "<!DOCTYPE" and ">". Throws Error{bad_artwork} on parameter
  // entities, which could pull in declarations from outside.
  Entities(std::string_view doctype, const std::string& where, std::size_t most_bytes);

  // The text with its entities put in. Throws Error{bad_artwork} when one stands for something
  // outside the file, for markup, for itself, or when everything together passes the bound.
  // Unknown names stay as written.
  std::string expand(std::string_view text);

 private:
  struct Entity {
    std::string value;
    bool is_external = false;
  };
  void declare(std::string_view declaration);
  void append(std::string_view text, int depth, std::string& out);

  std::map<std::string, Entity, std::less<>> known_;
  std::string where_;
  std::size_t left_;  // bytes that may still be produced
};

}  // namespace buckram::artwork
