#pragma once
// How often a client may ask: a bucket that fills steadily and is emptied by requests.

#include <chrono>
#include <map>
#include <string>

namespace sixtyfold {

/// Of one thread. Holds at most a few thousand clients; those who have asked for nothing lately are
/// forgotten first.
class ClientRates {
 public:
  using Clock = std::chrono::steady_clock;
  ClientRates(double per_second, double at_once) : per_second_(per_second), at_once_(at_once) {}
  /// Whether one more request of this client may be answered now.
  bool take(const std::string& client, Clock::time_point now = Clock::now());

 private:
  struct Bucket {
    double filled = 0;
    Clock::time_point when;
  };
  double fill(const Bucket& bucket, Clock::time_point now) const;
  double per_second_, at_once_;
  std::map<std::string, Bucket> buckets_;
};

}  // namespace sixtyfold
