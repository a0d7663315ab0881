#include "engine/random.h"

#include <cassert>
#include <cmath>

namespace sixtyfold {

namespace {

std::uint64_t next_splitmix(std::uint64_t& state) {
  std::uint64_t z = (state += 0x9e3779b97f4a7c15ULL);
  z = (z ^ (z >> 30)) * 0xbf58476d1ce4e5b9ULL;
  z = (z ^ (z >> 27)) * 0x94d049bb133111ebULL;
  return z ^ (z >> 31);
}

std::uint64_t rotate_left(std::uint64_t x, int k) { return (x << k) | (x >> (64 - k)); }

}  // namespace

RandomStream::RandomStream(std::uint64_t seed, Purpose purpose, std::uint64_t index) {
  std::uint64_t mix = seed;
  mix = next_splitmix(mix) ^ (static_cast<std::uint64_t>(purpose) * 0xd1342543de82ef95ULL);
  mix = next_splitmix(mix) ^ (index * 0xaf251af3b0f025b5ULL);
  for (std::uint64_t& word : state_) word = next_splitmix(mix);
}

std::uint64_t RandomStream::next() {
  const std::uint64_t result = rotate_left(state_[0] + state_[3], 23) + state_[0];
  const std::uint64_t t = state_[1] << 17;
  state_[2] ^= state_[0];
  state_[3] ^= state_[1];
  state_[1] ^= state_[2];
  state_[0] ^= state_[3];
  state_[2] ^= t;
  state_[3] = rotate_left(state_[3], 45);
  return result;
}

double RandomStream::uniform() { return static_cast<double>(next() >> 11) * 0x1.0p-53; }

double RandomStream::normal() {
  for (;;) {
    const double u = 2 * uniform() - 1, v = 2 * uniform() - 1;
    const double s = u * u + v * v;
    if (s < 1 && s > 0) return u * std::sqrt(-2 * std::log(s) / s);
  }
}

std::uint64_t RandomStream::below(std::uint64_t count) {
  assert(count > 0);
  const std::uint64_t threshold = (0 - count) % count;
  for (;;) {
    const std::uint64_t value = next();
    if (value >= threshold) return value % count;
  }
}

}  // namespace sixtyfold
