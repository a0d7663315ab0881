#include "engine/random.h"

#include <catch2/catch.hpp>
#include <cmath>

using namespace sixtyfold;

TEST_CASE("a stream depends on seed, purpose and index alone", "[random]") {
  RandomStream a(7, Purpose::sample, 3), b(7, Purpose::sample, 3);
  RandomStream other_seed(8, Purpose::sample, 3), other_purpose(7, Purpose::refine, 3),
      other_index(7, Purpose::sample, 4);
  const auto first = a.next();
  CHECK(first == b.next());
  CHECK(first != other_seed.next());
  CHECK(first != other_purpose.next());
  CHECK(first != other_index.next());
}

TEST_CASE("uniform, normal and below have the moments of their laws", "[random]") {
  RandomStream stream(1, Purpose::test, 0);
  const int count = 200000;
  double sum = 0, square = 0, normal_sum = 0, normal_square = 0;
  int buckets[7] = {};
  for (int i = 0; i < count; ++i) {
    const double u = stream.uniform();
    REQUIRE((0 <= u && u < 1));
    sum += u;
    square += u * u;
    const double n = stream.normal();
    normal_sum += n;
    normal_square += n * n;
    ++buckets[stream.below(7)];
  }
  CHECK(sum / count == Approx(0.5).margin(0.004));
  CHECK(square / count == Approx(1.0 / 3).margin(0.004));
  CHECK(normal_sum / count == Approx(0).margin(0.012));
  CHECK(normal_square / count == Approx(1).margin(0.02));
  for (const int bucket : buckets) CHECK(bucket == Approx(count / 7.0).epsilon(0.03));
}
