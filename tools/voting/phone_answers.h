#pragma once
// What the phones are told: the ballot page, whether the vote is open, and what became of a ballot.

#include <chrono>
#include <functional>
#include <map>
#include <mutex>
#include <set>
#include <string>

#include "tools/served/http_server.h"
#include "tools/voting/vote.h"

namespace sixtyfold {

/// How often a client may name a code that is none: `at_once`, and one more every `each_s`.
/// Whoever guesses faster is heard no more, right or wrong, until then. Of one thread.
class Guesses {
 public:
  using Clock = std::chrono::steady_clock;
  bool are_too_many(const std::string& client, Clock::time_point now);
  void note(const std::string& client, Clock::time_point now);

  static constexpr double at_once = 20, each_s = 10;

 private:
  struct Made {
    double count = 0;
    Clock::time_point when;
  };
  double measure(const Made& made, Clock::time_point now) const;
  std::map<std::string, Made> made_;
};

/// GET /        the ballot page
/// GET /state   {"gallery", "open"}
/// POST /ballot {"gallery", "code", "places": [[7], [3, 5]]} -> {"outcome", "said"}
///
/// `outcome` is taken, changed (200), unknown-code (403), other-gallery, bad-ballot (400), closed
/// (410), too-many-guesses (429) or not-kept (507); `said` is one sentence in English.
class PhoneAnswers {
 public:
  /// The page is made by `page`, once while the vote is open and once after.
  PhoneAnswers(Vote& vote, std::function<std::string(bool closed)> page);
  HttpResponse answer(const HttpRequest& request,
                      Guesses::Clock::time_point now = Guesses::Clock::now());

  /// Clients that opened the page; asked from another thread.
  int count_visitors() const;

 private:
  HttpResponse take_ballot(const HttpRequest& request, Guesses::Clock::time_point now);
  HttpResponse write_page(bool packed);

  Vote& vote_;
  std::function<std::string(bool)> page_;
  struct Page {
    std::string text, packed;
  };
  Page open_page_, closed_page_;
  Guesses guesses_;
  mutable std::mutex busy_;
  std::set<std::string> visitors_;
};

}  // namespace sixtyfold
