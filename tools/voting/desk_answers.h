#pragma once
// What the page of whoever leads is told; every path begins with the vote's token.

#include <functional>
#include <string>

#include "tools/served/http_server.h"
#include "tools/voting/vote.h"

namespace sixtyfold {

/// What the page shows beside the vote itself.
struct DeskSource {
  std::function<std::string()> page;               ///< an HTML document
  std::function<std::string()> slips;              ///< a PDF
  std::function<std::string(int number)> picture;  ///< an SVG, "" for what is no design
  std::function<int()> visitors;                   ///< that opened the ballot page
  std::filesystem::path gallery;                   ///< folder, whose index.html may be passed round
};

/// GET  ""  state  result  slips.pdf  picture/N.svg  gallery.html
/// POST paper {"ballots": [{"code", "count", "class", "places"}]}, paper-back {"code"},
///      close {}, slips {"more"}; each answers {"taken", "said"}
///
/// state never tells a standing; result is 403 until the vote is closed, slips.pdf after.
class DeskAnswers {
 public:
  DeskAnswers(Vote& vote, DeskSource source) : vote_(vote), source_(std::move(source)) {}
  HttpResponse answer(const HttpRequest& request);

 private:
  HttpResponse get(const std::string& name, const HttpRequest& request);
  void post(const std::string& name, const std::string& body);

  Vote& vote_;
  DeskSource source_;
};

}  // namespace sixtyfold
