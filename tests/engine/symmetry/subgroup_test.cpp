#include "engine/symmetry/subgroup.h"

#include <algorithm>
#include <array>
#include <catch2/catch.hpp>
#include <map>
#include <queue>
#include <set>

#include "engine/symmetry/subgroup_steps.h"

using namespace sixtyfold;

namespace {

/// The part-joint graph of two generators: g is joined to g a, g a^-1, g b, g b^-1.
/// Components by walking, the slow obvious way.
struct Graph {
  int components = 0, size = 0, edges = 0, diameter = 0;
};

Graph walk(const PointGroup& group, int a, int b) {
  std::set<int> steps = {a, group.invert(a), b, group.invert(b)};
  Graph graph;
  std::set<std::pair<int, int>> edges;
  std::vector<int> distance(group.elements.size(), -1);
  for (int start = 0; start < group.order(); ++start) {
    for (const int s : steps) {
      const int other = group.multiply(start, s);
      edges.insert({std::min(start, other), std::max(start, other)});
    }
    if (distance[static_cast<std::size_t>(start)] >= 0) continue;
    ++graph.components;
    graph.size = 0;
    std::queue<int> queue({start});
    distance[static_cast<std::size_t>(start)] = 0;
    while (!queue.empty()) {
      const int g = queue.front();
      queue.pop();
      ++graph.size;
      graph.diameter = distance[static_cast<std::size_t>(g)];
      for (const int s : steps) {
        int& d = distance[static_cast<std::size_t>(group.multiply(g, s))];
        if (d >= 0) continue;
        d = distance[static_cast<std::size_t>(g)] + 1;
        queue.push(group.multiply(g, s));
      }
    }
  }
  graph.edges = static_cast<int>(edges.size());
  return graph;
}

/// Sorted orders of a and b, then of ab and ab^-1.
using Case = std::array<int, 4>;

Case find_case(const PointGroup& group, int a, int b) {
  int x = find_element_order(group, a), y = find_element_order(group, b);
  int p = find_element_order(group, group.multiply(a, b));
  int q = find_element_order(group, group.multiply(a, group.invert(b)));
  if (x > y) std::swap(x, y);
  if (p > q) std::swap(p, q);
  return {x, y, p, q};
}

struct Expected {
  int components, edges, diameter, pairs;
};

void check_table(const std::string& symbol, const std::map<Case, Expected>& table) {
  const PointGroup group = make_point_group(symbol);
  std::map<Case, int> pairs;
  for (int a = 1; a < group.order(); ++a)
    for (int b = a + 1; b < group.order(); ++b) {
      if (b == group.invert(a)) continue;
      const Case kind = find_case(group, a, b);
      const auto row = table.find(kind);
      if (row == table.end()) continue;
      INFO(symbol << ' ' << kind[0] << ' ' << kind[1] << ' ' << kind[2] << ' ' << kind[3]);
      ++pairs[kind];
      const Graph graph = walk(group, a, b);
      REQUIRE(graph.components == row->second.components);
      REQUIRE(graph.edges == row->second.edges);
      REQUIRE(graph.diameter == row->second.diameter);
      const auto subgroup = make_generated_subgroup(group, {a, b});
      REQUIRE(static_cast<int>(subgroup.size()) == graph.size);
      REQUIRE(group.order() / static_cast<int>(subgroup.size()) == graph.components);
    }
  for (const auto& [kind, row] : table) {
    INFO(symbol << ' ' << kind[0] << ' ' << kind[1] << ' ' << kind[2] << ' ' << kind[3]);
    CHECK(pairs[kind] == row.pairs);
  }
}

std::multiset<std::pair<std::size_t, std::size_t>> find_class_table(const std::string& symbol) {
  const PointGroup group = make_point_group(symbol);
  std::multiset<std::pair<std::size_t, std::size_t>> table;  // order of subgroup, conjugates
  for (const auto& subgroup : find_subgroup_classes(group))
    table.insert({subgroup.size(), find_conjugates(group, subgroup).size()});
  return table;
}

}  // namespace

// Truncated icosahedron (diameter 9) and truncated dodecahedron (10): Chung, Kostant and
// Sternberg 1994; von Dyck (2,3,5). Components: Lagrange. Other rows: own computation with GAP
// and Python (tests/sources.md 1).
TEST_CASE("pieces of a part-joint graph are the index of the generated subgroup", "[symmetry]") {
  check_table("I", {{{2, 2, 5, 5}, {6, 60, 5, 60}},
                    {{2, 2, 3, 3}, {10, 60, 3, 30}},
                    {{2, 2, 2, 2}, {15, 60, 2, 15}},
                    {{2, 3, 5, 5}, {1, 90, 10, 120}},
                    {{2, 3, 3, 3}, {5, 90, 3, 120}},
                    {{2, 3, 2, 2}, {10, 90, 2, 60}},
                    {{2, 5, 3, 3}, {1, 90, 9, 120}},
                    {{2, 5, 5, 5}, {1, 90, 6, 120}},
                    {{2, 5, 2, 2}, {6, 90, 3, 120}},
                    {{3, 3, 5, 5}, {1, 120, 6, 60}},
                    {{3, 3, 2, 3}, {5, 120, 3, 120}},
                    {{3, 5, 2, 5}, {1, 120, 8, 240}},
                    {{3, 5, 3, 5}, {1, 120, 6, 240}},
                    {{5, 5, 2, 3}, {1, 120, 6, 120}},
                    {{5, 5, 3, 5}, {1, 120, 6, 120}},
                    {{5, 5, 5, 5}, {12, 120, 1, 24}}});
  check_table("O", {{{2, 3, 4, 4}, {1, 36, 6, 24}},
                    {{2, 3, 3, 3}, {2, 36, 3, 24}},
                    {{2, 3, 2, 2}, {4, 36, 2, 24}},
                    {{2, 4, 3, 3}, {1, 36, 6, 24}},
                    {{2, 4, 2, 2}, {3, 36, 3, 24}},
                    {{2, 4, 4, 4}, {6, 36, 1, 6}}});
  check_table("T", {{{2, 2, 2, 2}, {3, 12, 2, 3}},
                    {{2, 3, 3, 3}, {1, 18, 3, 24}},
                    {{3, 3, 2, 3}, {1, 24, 3, 24}}});
}

// T: GAP A4. O: Groupprops "S4". I: Groupprops "A5" and GAP's table of marks.
TEST_CASE("subgroups of T, O and I are those of A4, S4 and A5", "[symmetry]") {
  using Table = std::multiset<std::pair<std::size_t, std::size_t>>;
  CHECK(find_subgroups(make_point_group("T")).size() == 10);
  CHECK(find_subgroups(make_point_group("O")).size() == 30);
  CHECK(find_subgroups(make_point_group("I")).size() == 59);
  CHECK(find_class_table("T") == Table{{1, 1}, {2, 3}, {3, 4}, {4, 1}, {12, 1}});
  CHECK(find_class_table("O") == Table{{1, 1},
                                       {2, 3},
                                       {2, 6},
                                       {3, 4},
                                       {4, 1},
                                       {4, 3},
                                       {4, 3},
                                       {6, 4},
                                       {8, 3},
                                       {12, 1},
                                       {24, 1}});
  CHECK(find_class_table("I") ==
        Table{{1, 1}, {2, 15}, {3, 10}, {4, 5}, {5, 6}, {6, 10}, {10, 6}, {12, 5}, {60, 1}});
}

// Cavior 1975 (Math. Mag. 48): sigma(n) + tau(n).
TEST_CASE("subgroups of Dn number sigma(n) + tau(n), of Cn tau(n)", "[symmetry]") {
  for (int n = 2; n <= 60; ++n) {
    std::size_t sigma = 0, tau = 0;
    for (int d = 1; d <= n; ++d)
      if (n % d == 0) sigma += static_cast<std::size_t>(d), ++tau;
    CHECK(find_subgroups(make_point_group(std::string("D").append(std::to_string(n)))).size() ==
          sigma + tau);
    CHECK(find_subgroups(make_point_group(std::string("C").append(std::to_string(n)))).size() ==
          tau);
  }
}

TEST_CASE("each subgroup is closed, listed once, in order", "[symmetry]") {
  for (const auto& symbol : {"I", "Td", "D12h", "S8"}) {
    const PointGroup group = make_point_group(symbol);
    const auto subgroups = find_subgroups(group);
    REQUIRE(subgroups.front() == Subgroup{0});
    REQUIRE(subgroups.back().size() == group.elements.size());
    for (std::size_t i = 0; i < subgroups.size(); ++i) {
      const auto& h = subgroups[i];
      REQUIRE(group.elements.size() % h.size() == 0);
      REQUIRE(make_generated_subgroup(group, h) == h);
      if (i > 0)
        REQUIRE((subgroups[i - 1].size() < h.size() ||
                 (subgroups[i - 1].size() == h.size() && subgroups[i - 1] < h)));
    }
  }
}

TEST_CASE("cosets part the group evenly", "[symmetry]") {
  const PointGroup group = make_point_group("I");
  for (const auto& h : find_subgroup_classes(group)) {
    const auto left = find_left_cosets(group, h), right = find_right_cosets(group, h);
    const int index = group.order() / static_cast<int>(h.size());
    CHECK(left[0] == 0);
    CHECK(*std::max_element(left.begin(), left.end()) == index - 1);
    CHECK(*std::max_element(right.begin(), right.end()) == index - 1);
    for (int c = 0; c < index; ++c) {
      CHECK(std::count(left.begin(), left.end(), c) == static_cast<long>(h.size()));
      CHECK(std::count(right.begin(), right.end(), c) == static_cast<long>(h.size()));
    }
    for (int g = 0; g < group.order(); ++g)
      for (const int k : h) {
        REQUIRE(left[static_cast<std::size_t>(group.multiply(g, k))] ==
                left[static_cast<std::size_t>(g)]);
        REQUIRE(right[static_cast<std::size_t>(group.multiply(k, g))] ==
                right[static_cast<std::size_t>(g)]);
      }
  }
}

TEST_CASE("growing element by element gives the subgroups that generating at once gives",
          "[symmetry]") {
  for (const char* symbol : {"C1", "C12", "D5", "T", "O", "I", "Th", "Oh", "Ih", "D6h"}) {
    CAPTURE(symbol);
    const PointGroup group = make_point_group(symbol);
    const SubgroupSteps steps(group);
    CHECK(steps.count() == static_cast<int>(find_subgroups(group).size()));
    unsigned state = 12345;
    for (int round = 0; round < 200; ++round) {
      std::vector<int> generators;
      int subgroup = 0;
      for (int k = 0; k < round % 5; ++k) {
        state = state * 1664525u + 1013904223u;
        generators.push_back(static_cast<int>((state >> 8) % static_cast<unsigned>(group.order())));
        subgroup = steps.add(subgroup, generators.back());
        const auto order = make_generated_subgroup(group, generators).size();
        REQUIRE(steps.order_of(subgroup) == static_cast<int>(order));
        CHECK(steps.add(subgroup, generators[0]) == subgroup);
      }
    }
  }
}
