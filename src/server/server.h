// Door of server/: the page and its API on one port.
//
// The page's files are handed in; jobs lie in a folder (store.h); the API is docs/api.md.
#pragma once

#include "server/pages.h"

#include "job/job.h"

#include <functional>
#include <string>
#include <vector>

namespace buckram::server {

struct ServeOptions {
  std::string folder = "buckram-jobs";
  unsigned short port = 8040;  // 0: any that is free
  bool is_lan = false;         // listens on every address; needs `token_file`
  std::string host{};          // by which browsers on the network reach it; empty: its own name
  std::string token_file{};    // empty: FOLDER/token, made when it is not there
  std::string version = "0";
};

struct Started {
  std::string address;                // to open, with the token: "http://127.0.0.1:8040/?t=..."
  std::vector<std::string> troubles;  // folders that are no jobs, in words
};

// Serves until SIGINT or SIGTERM; `started` is called once it answers. Runs that are on are stopped
// then, and begin again at the next start. Throws Error{bad_job}: the port is taken, the folder is
// another server's, a token that is too short, LAN without a token file; {cannot_read},
// {cannot_write}.
void serve(const ServeOptions& options, const job::DataFolder& data, std::vector<PageFile> pages,
           const std::function<void(const Started&)>& started);

// Every file of a folder, for those who work on the page; kept in memory.
std::vector<PageFile> pages_in(const std::string& folder);

}  // namespace buckram::server
