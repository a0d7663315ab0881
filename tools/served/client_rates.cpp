#include "tools/served/client_rates.h"

#include <algorithm>

namespace sixtyfold {

namespace {
constexpr std::size_t most_clients = 4096;
}

double ClientRates::fill(const Bucket& bucket, Clock::time_point now) const {
  const double waited_s = std::chrono::duration<double>(now - bucket.when).count();
  return std::min(at_once_, bucket.filled + std::max(0.0, waited_s) * per_second_);
}

bool ClientRates::take(const std::string& client, Clock::time_point now) {
  if (buckets_.size() >= most_clients && buckets_.count(client) == 0) {
    std::erase_if(buckets_, [&](const auto& entry) { return fill(entry.second, now) >= at_once_; });
    if (buckets_.size() >= most_clients) return false;
  }
  Bucket& bucket = buckets_.try_emplace(client, Bucket{at_once_, now}).first->second;
  bucket.filled = fill(bucket, now);
  bucket.when = now;
  if (!(bucket.filled >= 1)) return false;
  bucket.filled -= 1;
  return true;
}

}  // namespace sixtyfold
