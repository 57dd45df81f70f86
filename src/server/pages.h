// The page's own files, built elsewhere.
#pragma once

#include "server/message.h"

#include <map>
#include <span>
#include <string>
#include <string_view>
#include <vector>

namespace buckram::server {

struct PageFile {
  std::string path;  // "index.html", "assets/main-1f2e3d.js"
  std::span<const char> bytes;
  std::string tag;  // of this content, quoted
};

class Pages {
 public:
  // The bytes outlive this.
  explicit Pages(std::vector<PageFile> files);

  // A file of the page; index.html for the addresses that the page itself tells apart ("/",
  // "/job/ID", "/floor/ID", "/compare/A/B"). Names with their content's hash in them are kept by
  // browsers, others are asked for each time. 404 for everything else: with index.html, which says
  // so, where it looks like a page's address, plain for a file; and words on how to build the page
  // where there is none.
  Response answer(const Request& request) const;

 private:
  std::map<std::string, PageFile, std::less<>> files_;
};

}  // namespace buckram::server
