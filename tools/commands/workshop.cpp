#include <CLI/CLI.hpp>
#include <chrono>
#include <iostream>
#include <memory>
#include <thread>

#include "tools/commands/command.h"
#include "tools/commands/stop_on_signal.h"
#include "tools/options/options.h"
#include "tools/served/http_server.h"
#include "tools/served/open_browser.h"
#include "tools/served/secret.h"
#include "tools/workshop/answer.h"
#include "tools/workshop/desk.h"

namespace sixtyfold {

namespace {

struct WorkshopCommand {
  std::string folder = "workshop";
  int port = 0;
  bool no_browser = false;
};

ExitStatus open_workshop(const WorkshopCommand& options) {
  WorkshopDesk workshop(options.folder);
  const std::string token = make_token();
  std::atomic<bool> stop{false};
  const StopOnSignal guard(stop);
  {
    const HttpServer server({"127.0.0.1", options.port}, {}, [&](const HttpRequest& request) {
      return answer_workshop(workshop, token, request);
    });
    const std::string address = server.origin() + "/" + token + "/";
    std::cout
        << "The workshop is open at\n  " << address
        << "\nOnly this computer reaches it, and only by the whole address. What it makes lies "
           "in "
        << workshop.folder().string() << ". Ctrl-C closes it." << std::endl;
    if (!options.no_browser && !open_browser(address))
      std::cout << "No browser could be opened: open the address by hand." << std::endl;
    while (!stop.load()) {
      workshop.tick();
      std::this_thread::sleep_for(std::chrono::milliseconds(workshop.is_working() ? 10 : 40));
    }
  }
  workshop.end();
  std::cout << workshop.tell_kept();
  return ExitStatus::ok;
}

}  // namespace

void add_workshop_command(CLI::App& app) {
  CLI::App* command = add_command(
      app, "workshop",
      "Open a page in the browser with everything behind buttons: search, pick, more like these, "
      "tune, compare, map, gallery, kit. It answers to this computer alone and keeps all it makes "
      "in one folder",
      {"sixtyfold workshop", "sixtyfold workshop our-hall", "sixtyfold workshop --no-browser"});
  auto options = std::make_shared<WorkshopCommand>();
  command
      ->add_option("FOLDER", options->folder,
                   "where it keeps what it makes, made if missing; default workshop")
      ->type_name("FOLDER");
  add_count_option(*command, "--port", options->port, 0, 65535,
                   "of its address on this computer; default any that is free");
  command->add_flag("--no-browser", options->no_browser, "print the address and open no browser");
  run_when_chosen(*command, [options] { return open_workshop(*options); });
}

}  // namespace sixtyfold
