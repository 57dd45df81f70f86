#include "serve.h"

#include "face.h"
#include "page_files.h"

#include "server/server.h"

#include <CLI/CLI.hpp>
#include <fmt/format.h>

#include <cstdio>
#include <cstdlib>
#include <memory>

namespace buckram::app {
namespace {

// BUCKRAM_PAGE names a folder to serve the page from while it is being worked on.
std::vector<server::PageFile> page() {
  const char* folder = std::getenv("BUCKRAM_PAGE");
  return folder == nullptr ? page_files() : server::pages_in(folder);
}

int serve(server::ServeOptions options) {
  const char* folder = std::getenv("BUCKRAM_JOBS");
  if (options.folder.empty()) options.folder = folder != nullptr ? folder : "buckram-jobs";
  options.version = BUCKRAM_VERSION;
  server::serve(options, find_data(), page(), [](const server::Started& started) {
    for (const std::string& each : started.troubles) fmt::print(stderr, "buckram: {}\n", each);
    fmt::print("{}\n", started.address);
    std::fflush(stdout);
  });
  return 0;
}

}  // namespace

void add_serve(CLI::App& app, Run& run) {
  auto options = std::make_shared<server::ServeOptions>();
  options->folder.clear();
  CLI::App* verb =
      app.add_subcommand("serve", "the page: prints its address, serves until stopped");
  verb->footer("Example: buckram serve --folder jobs");
  verb->add_option("--port", options->port, "port to listen at; 0: any that is free")
      ->capture_default_str();
  verb->add_option("--folder", options->folder,
                   "folder for the jobs; BUCKRAM_JOBS, else buckram-jobs by default");
  verb->add_flag("--lan", options->is_lan, "listen on the network too; needs --token-file");
  verb->add_option("--host", options->host,
                   "what browsers on the network call this machine; its own name by default");
  verb->add_option("--token-file", options->token_file,
                   "file with the token of the printed address; made when it is not there");
  verb->callback([options, &run] { run = [options] { return serve(*options); }; });
}

}  // namespace buckram::app
