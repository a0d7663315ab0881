#include <CLI/CLI.hpp>
#include <chrono>
#include <filesystem>
#include <iostream>
#include <memory>
#include <thread>

#include "engine/text.h"
#include "results/files/design_json.h"
#include "results/files/design_name.h"
#include "results/files/plain_text.h"
#include "results/voting/desk_page.h"
#include "results/voting/slips.h"
#include "tools/commands/command.h"
#include "tools/commands/measured_gallery.h"
#include "tools/commands/stop_on_signal.h"
#include "tools/options/options.h"
#include "tools/served/open_browser.h"
#include "tools/served/secret.h"
#include "tools/voting/desk_answers.h"
#include "tools/voting/own_addresses.h"
#include "tools/voting/phone_answers.h"
#include "tools/voting/qr_code.h"

namespace sixtyfold {

namespace {

namespace fs = std::filesystem;

constexpr int usual_port = 8060, ports_tried = 20;

struct VoteOptions {
  std::string gallery, address, title, paper = "A4", language;
  int port = 0, voters = 40;
  std::optional<VoteMethod> method;
  bool no_browser = false;
};

/// The designs that gallery.json lists, as the gallery's page shows them.
GalleryFolder read_listed_designs(const fs::path& folder, const GalleryList& list) {
  GalleryFolder found;
  for (const GalleryEntry& entry : list.entries) {
    found.files.push_back(folder / entry.file);
    found.designs.push_back(
        read_design_json(read_file(found.files.back()), found.files.back().string()));
    found.designs.back().name = entry.name;
    found.numbers.push_back(entry.number);
  }
  const std::vector<std::string> names = find_design_names(found.designs);
  if (find_gallery_identity(found.designs, names, found.numbers) != list.identity)
    throw std::invalid_argument(
        (folder / "gallery.json").string() +
        ": its designs were changed since the page was made; make it again: sixtyfold gallery "
        "--from " +
        quote_for_shell(folder.string()) + " --keep-numbers");
  return found;
}

/// A port nobody listens on, from the usual one up.
int find_free_port(const std::string& address) {
  for (int port = usual_port;; ++port) try {
      const HttpServer probe({address, port}, {},
                             [](const HttpRequest&) { return HttpResponse{}; });
      return port;
    } catch (const std::runtime_error&) {
      if (port == usual_port + ports_tried) throw;
    }
}

void check_goes_on(const CLI::App& command, const VoteOptions& options, const VoteRecord& record) {
  if (options.method && *options.method != record.method)
    throw std::invalid_argument("--method is " + name_of(*options.method) +
                                ", but the vote that lies in " + options.gallery +
                                "/vote was begun with " + name_of(record.method));
  if (command.count("--voters") > 0 && options.voters < record.given)
    throw std::invalid_argument(
        format("--voters is %d, but %d slips are given out already", options.voters, record.given));
}

/// What the gallery is called; where that is only the usual question, in the language asked for.
std::string find_title(const GalleryList& list, const std::string& language) {
  for (const std::string& own : find_word_languages())
    if (list.title == read_gallery_words(own).say("title"))
      return read_gallery_words(language).say("title");
  return list.title;
}

/// Begins a vote where none lies in the folder.
void begin_if_new(const VoteOptions& options, const GalleryList& list, const fs::path& folder) {
  if (Vote::is_in(folder)) return;
  VoteRecord record;
  record.gallery = list.identity;
  record.language = options.language.empty() ? "en" : options.language;
  record.title = options.title.empty() ? find_title(list, record.language) : options.title;
  record.method = options.method.value_or(VoteMethod::approval);
  record.address = choose_address(options.address, find_own_addresses());
  record.port = options.port > 0 ? options.port : find_free_port(record.address);
  record.token = make_token();
  Vote::begin(folder, record, options.voters, list.entries.size());
}

/// A vote that goes on may find its computer at another address than before.
void check_address(const VoteOptions& options, const std::string& address) {
  try {
    choose_address(address, find_own_addresses());
  } catch (const std::invalid_argument& fault) {
    if (!options.address.empty()) throw;
    throw std::invalid_argument("this vote was begun at " + address +
                                ", which is no address of this machine now; give the one it has "
                                "with --address, and print the slips again");
  }
}

std::string write_address(const std::string& address, int port) {
  return "http://" + address + ":" + std::to_string(port);
}

void tell_start(const Vote& vote, const VoteRecord& record, const std::string& desk,
                const fs::path& folder, bool moved) {
  const VoteCount count = vote.count();
  const std::string phones = write_address(record.address, record.port);
  std::cout << make_plain_text(record.title) << "\n";
  if (count.closed)
    std::cout << "This vote is closed; late paper ballots can be typed in. To vote anew, move "
              << folder.string() << " away.\n";
  std::cout << "  for you        " << desk << "\n"
            << "  for the phones " << phones << "\n"
            << format("  %d slips, %d of them have cast a ballot; %d paper ballots\n", count.given,
                      count.cast, count.paper)
            << "  kept in        " << folder.string() << "\n";
  if (moved) std::cout << "The address is another one than before: print the slips again.\n";
  if (is_loopback_address(record.address))
    std::cout << "Only this computer can reach that address: good for trying, not for phones.\n";
  else if (!is_private_address(record.address))
    std::cout << "That is no address of a local network: others may be able to reach it.\n";
  std::cout
      << "Not protected: the way from the phones is not encrypted, so that somebody with the "
         "skill, in the same\nnetwork, could read or change ballots; whoever holds a slip can "
         "vote by it; and until the vote is closed\nthe folder ties codes to ballots.\n"
         "Ctrl-C ends it; what was cast is kept, and the same command goes on.\n"
      << std::flush;
}

void tell_end(const Vote& vote, const VoteOptions& options, const fs::path& folder) {
  const VoteCount count = vote.count();
  const std::string gallery = quote_for_shell(options.gallery);
  std::cout << format("\nEnded. %d ballots of slips and %d on paper are kept in ", count.cast,
                      count.paper)
            << folder.string() << ".\n"
            << (count.closed
                    ? "Count again: sixtyfold tally " +
                          quote_for_shell(vote.ballot_file().string()) + " --gallery " + gallery
                    : "The vote is still open: go on with sixtyfold vote " + gallery)
            << "\n";
}

void check_has_gallery(const fs::path& gallery) {
  if (!fs::is_directory(gallery))
    throw std::invalid_argument(gallery.string() + ": there is no such folder");
  if (!fs::exists(gallery / "gallery.json"))
    throw std::invalid_argument(gallery.string() +
                                ": has no gallery.json; make a gallery first: sixtyfold gallery "
                                "--from " +
                                quote_for_shell(gallery.string()));
}

/// What was asked for added to what the vote remembers; says what was lost of it.
VoteRecord take_up(Vote& vote, const CLI::App& command, const VoteOptions& options,
                   const fs::path& folder) {
  VoteRecord record = vote.record();
  if (!options.title.empty()) record.title = options.title;
  check_goes_on(command, options, record);
  if (command.count("--voters") > 0 && options.voters > record.given)
    vote.add_slips(options.voters - record.given);
  if (vote.damaged() > 0)
    std::cerr << "sixtyfold: " << folder.string() << ": "
              << count_of(vote.damaged(), "ballot was", "ballots were")
              << " lost by the disk; ask its voters to cast again\n";
  return record;
}

/// What is shown to phones and to whoever leads while the vote runs.
struct Polling {
  const VoteOptions& options;
  const fs::path folder;
  const GalleryList& list;
  const GalleryFolder& source;
  const GalleryOptions& page;
  Vote& vote;
  const std::string title, address;
  const int port;
  const bool ranks;

  std::string make_ballots(bool closed) const {
    return make_ballot_page(source.designs, page, {ranks, closed});
  }
  std::string make_picture(int number) const {
    for (std::size_t i = 0; i < source.numbers.size(); ++i)
      if (source.numbers[i] == number)
        return make_card_picture(source.designs[i], source.designs[i].name);
    return "";
  }
  std::string make_slips() const {
    SlipSheet sheet{title, write_address(address, port), {}, page.words};
    if (options.paper == "Letter") sheet.paper_mm = {215.9, 279.4};
    for (const VoteSlip& slip : vote.record().slips) sheet.codes.push_back(slip.code);
    return make_slips_pdf(sheet, make_qr_code);
  }
  std::string make_desk() const {
    const std::string phone_address = write_address(address, port);
    return make_desk_page({title, phone_address, make_qr_code(phone_address + "/"), ranks, list,
                           fs::absolute(folder).lexically_normal().string(),
                           "sixtyfold tally " + quote_for_shell(vote.ballot_file().string()) +
                               " --gallery " + quote_for_shell(options.gallery),
                           page.words});
  }
};

/// At the port it had before, or another one where that is taken.
std::unique_ptr<HttpServer> serve_desk(DeskAnswers& answers, int port) {
  HttpBounds bounds;
  bounds.body_bytes = 4 << 20;
  const auto serve = [&](int at) {
    return std::make_unique<HttpServer>(
        HttpAddress{"127.0.0.1", at}, bounds,
        [&answers](const HttpRequest& request) { return answers.answer(request); });
  };
  try {
    return serve(port);
  } catch (const std::runtime_error&) {  // another program took that port meanwhile
    if (port == 0) throw;
    return serve(0);
  }
}

/// Serves phones and desk until it is to stop.
void serve_vote(const Polling& polling, VoteRecord record, const std::atomic<bool>& stop) {
  const VoteOptions& options = polling.options;
  Vote& vote = polling.vote;
  PhoneAnswers phones(vote, [&](bool closed) { return polling.make_ballots(closed); });
  check_address(options, polling.address);
  const HttpServer phone_server({polling.address, polling.port}, {},
                                [&](const HttpRequest& request) { return phones.answer(request); });
  DeskSource desk;
  desk.gallery = options.gallery;
  desk.visitors = [&] { return phones.count_visitors(); };
  desk.picture = [&](int number) { return polling.make_picture(number); };
  desk.slips = [&] { return polling.make_slips(); };
  desk.page = [&] { return polling.make_desk(); };
  DeskAnswers desk_answers(vote, desk);
  const std::unique_ptr<HttpServer> desk_server = serve_desk(desk_answers, record.desk_port);
  vote.set_addresses(polling.address, polling.port, desk_server->port());
  const std::string desk_address = desk_server->origin() + "/" + record.token + "/";
  const bool moved = record.address != polling.address || record.port != polling.port;
  record.address = polling.address, record.port = polling.port;
  tell_start(vote, record, desk_address, polling.folder, moved);
  if (!options.no_browser && !open_browser(desk_address))
    std::cout << "No browser could be opened: open the first address by hand.\n" << std::flush;
  while (!stop) std::this_thread::sleep_for(std::chrono::milliseconds(50));
  tell_end(vote, options, polling.folder);
}

ExitStatus run_vote(const CLI::App& command, const VoteOptions& options) {
  std::atomic<bool> stop{false};
  const StopOnSignal on_signal(stop);  // from the first moment: measuring a gallery takes a while
  const fs::path gallery = options.gallery, folder = gallery / "vote";
  check_has_gallery(gallery);
  const GalleryList list = find_gallery_list(gallery);
  GalleryFolder source = read_listed_designs(gallery, list);
  if (!options.language.empty()) read_gallery_words(options.language);
  begin_if_new(options, list, folder);
  Vote vote(folder, list);
  const VoteRecord record = take_up(vote, command, options, folder);
  GalleryOptions page;
  page.words = read_gallery_words(options.language.empty() ? record.language : options.language);
  page.title = record.title;
  page.numbers = source.numbers;
  if (!measure_gallery(source, {}, page)) return ExitStatus::no;
  serve_vote({options, folder, list, source, page, vote, record.title,
              options.address.empty() ? record.address : options.address,
              options.port > 0 ? options.port : record.port, record.method == VoteMethod::ranking},
             record, stop);
  return ExitStatus::ok;
}

}  // namespace

void add_vote_command(CLI::App& app) {
  CLI::App* command = add_command(
      app, "vote",
      "Let a group vote with their phones, in the local network: a ballot page on the one address "
      "shown, slips with codes (one ballot each), and a page for whoever leads, with the address "
      "for the projector, the count, paper ballots typed in, and the result. All of it lies in "
      "GALLERY/vote; ended or killed, the same command goes on",
      {"sixtyfold vote gallery", "sixtyfold vote gallery --voters 28 --method ranking",
       "sixtyfold vote gallery --address 192.168.1.20 --port 8080 --language de",
       "sixtyfold vote gallery --address 127.0.0.1  # to try it on this computer alone"});
  auto options = std::make_shared<VoteOptions>();
  command
      ->add_option("GALLERY", options->gallery,
                   "folder of a gallery's page (`sixtyfold gallery`), with gallery.json")
      ->type_name("FOLDER")
      ->required();
  command
      ->add_option("--address", options->address,
                   "address of this computer that the phones come to; default: its one address in "
                   "a local network")
      ->type_name("ADDRESS");
  add_count_option(*command, "--port", options->port, 1, 65535,
                   "port of that address; default: 8060, or the next that is free");
  add_count_option(*command, "--voters", options->voters, 1, most_slips,
                   "slips, one a voter; more can be added later");
  add_parsed_option(
      *command, "--method", "approval|ranking",
      [options](const std::string& word) { options->method = parse_vote_method(word); },
      "each picks every design they would gladly build, or puts them in order; default: approval");
  command->add_option("--title", options->title, "title of the pages; default: the gallery's");
  add_parsed_option(
      *command, "--language", "en|de|FILE",
      [options](const std::string& word) {
        read_gallery_words(word);
        options->language = word;
      },
      "of pages and slips");
  add_parsed_option(
      *command, "--paper", "A4|Letter",
      [options](const std::string& word) {
        if (word != "A4" && word != "Letter")
          throw std::invalid_argument("is '" + word + "'; allowed is A4 or Letter");
        options->paper = word;
      },
      "of the slips");
  command->add_flag("--no-browser", options->no_browser, "open no browser");
  run_when_chosen(*command, [command, options] { return run_vote(*command, *options); });
}

}  // namespace sixtyfold
