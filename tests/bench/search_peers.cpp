#include "tests/bench/search_peers.h"

#include <Eigen/Dense>
#include <algorithm>
#include <cmath>
#include <optional>
#include <set>

#include "engine/random.h"
#include "search/propose/transfer_point.h"

namespace sixtyfold::bench {
namespace {

constexpr int first_samples = 1000;                           // of every archive
constexpr double isotropic_spread = 0.01, line_spread = 0.2;  // Vassiliades and Mouret 2018

/// A random point of a random branch.
BranchPoint make_random(const SearchTask& task, RandomStream& random) {
  const auto branch = random.below(task.branches.size());
  BranchPoint at{static_cast<int>(branch), UnitPoint(task.branches[branch].parameters.size())};
  for (double& u : at.point) u = random.uniform();
  return at;
}

UnitPoint vary_along_line(const UnitPoint& a, const UnitPoint& b, RandomStream& random) {
  UnitPoint child(a.size());
  const double along = line_spread * random.normal();
  for (std::size_t k = 0; k < a.size(); ++k)
    child[k] = reflect(a[k] + isotropic_spread * random.normal() + along * (b[k] - a[k]));
  return child;
}

/// The archives of all branches, and their elites in one list.
class Elites {
 public:
  explicit Elites(const SearchTask& task)
      : archives_(task.branches.size(), GridArchive(archive_cells)) {}

  /// By how much it raises what it belongs to, and whether that was empty.
  std::pair<double, bool> insert(const BranchPoint& at, const Outcome& outcome) {
    GridArchive& archive = archives_[static_cast<std::size_t>(at.branch)];
    const double gain = archive.measure_gain({at.point, outcome});
    const Insertion what = archive.insert({at.point, outcome});
    if (what == Insertion::new_cell) where_.emplace_back(at.branch, archive.elites().size() - 1);
    return {what == Insertion::rejected ? 0 : gain, what == Insertion::new_cell};
  }
  bool empty() const { return where_.empty(); }
  BranchPoint draw(RandomStream& random) const {
    const auto& [branch, number] = where_[random.below(where_.size())];
    return {branch, archives_[static_cast<std::size_t>(branch)].elites()[number].point};
  }
  const UnitPoint& draw_of(int branch, RandomStream& random) const {
    const auto& elites = archives_[static_cast<std::size_t>(branch)].elites();
    return elites[random.below(elites.size())].point;
  }

 private:
  std::vector<GridArchive> archives_;
  std::vector<std::pair<int, std::size_t>> where_;
};

/// Covariance matrix adaptation (Hansen 2016, "The CMA evolution strategy: a tutorial", the
/// parameters of table 1) about a point of one branch, ranked by what the archive gains.
class Emitter {
 public:
  Emitter(BranchPoint start, int size)
      : branch_(start.branch),
        size_(size),
        mean_(Eigen::Map<const Eigen::VectorXd>(start.point.data(),
                                                static_cast<Eigen::Index>(start.point.size()))) {
    const Eigen::Index n = mean_.size();
    covariance_ = axes_ = Eigen::MatrixXd::Identity(n, n);
    lengths_ = Eigen::VectorXd::Ones(n);
    path_ = path_of_size_ = Eigen::VectorXd::Zero(n);
  }

  BranchPoint ask(RandomStream& random) const {
    Eigen::VectorXd step(mean_.size());
    for (double& value : step) value = random.normal();
    const Eigen::VectorXd x = mean_ + spread_ * (axes_ * lengths_.cwiseProduct(step));
    BranchPoint at{branch_, UnitPoint(static_cast<std::size_t>(x.size()))};
    for (Eigen::Index k = 0; k < x.size(); ++k)
      at.point[static_cast<std::size_t>(k)] = reflect(x[k]);
    return at;
  }

  struct Told {
    UnitPoint point;
    bool is_new = false;
    double gain = 0;
  };
  /// False when it has come to its end: nothing was gained or it has shrunk to a point.
  bool tell(std::vector<Told> told) {
    std::stable_sort(told.begin(), told.end(), [](const Told& a, const Told& b) {
      return a.is_new != b.is_new ? a.is_new : a.gain > b.gain;
    });
    if (!(told[0].gain > 0)) return false;
    const double n = static_cast<double>(mean_.size());
    const int parents = size_ / 2;
    std::vector<double> weights;
    double sum = 0, squares = 0;
    for (int i = 0; i < parents; ++i) weights.push_back(std::log(parents + 0.5) - std::log(i + 1));
    for (const double weight : weights) sum += weight;
    for (double& weight : weights) weight /= sum, squares += weight * weight;
    const double mu = 1 / squares;
    const double c_sigma = (mu + 2) / (n + mu + 5);
    const double damping = 1 + 2 * std::max(0.0, std::sqrt((mu - 1) / (n + 1)) - 1) + c_sigma;
    const double c_path = (4 + mu / n) / (n + 4 + 2 * mu / n);
    const double c_one = 2 / ((n + 1.3) * (n + 1.3) + mu);
    const double c_mu = std::min(1 - c_one, 2 * (mu - 2 + 1 / mu) / ((n + 2) * (n + 2) + mu));
    const double expected = std::sqrt(n) * (1 - 1 / (4 * n) + 1 / (21 * n * n));

    const auto to_step = [&](const Told& one) -> Eigen::VectorXd {
      return (Eigen::Map<const Eigen::VectorXd>(one.point.data(), mean_.size()) - mean_) / spread_;
    };
    Eigen::VectorXd step = Eigen::VectorXd::Zero(mean_.size());
    Eigen::MatrixXd rank_mu = Eigen::MatrixXd::Zero(mean_.size(), mean_.size());
    for (int i = 0; i < parents; ++i) {
      const Eigen::VectorXd y = to_step(told[static_cast<std::size_t>(i)]);
      step += weights[static_cast<std::size_t>(i)] * y;
      rank_mu += weights[static_cast<std::size_t>(i)] * y * y.transpose();
    }
    ++generation_;
    mean_ += spread_ * step;
    const Eigen::VectorXd whitened = axes_ * (axes_.transpose() * step).cwiseQuotient(lengths_);
    path_of_size_ =
        (1 - c_sigma) * path_of_size_ + std::sqrt(c_sigma * (2 - c_sigma) * mu) * whitened;
    const double norm = path_of_size_.norm();
    const bool is_long = norm / std::sqrt(1 - std::pow(1 - c_sigma, 2 * generation_)) / expected >=
                         1.4 + 2 / (n + 1);
    path_ = (1 - c_path) * path_;
    if (!is_long) path_ += std::sqrt(c_path * (2 - c_path) * mu) * step;
    covariance_ = (1 - c_one - c_mu + (is_long ? c_one * c_path * (2 - c_path) : 0)) * covariance_ +
                  c_one * path_ * path_.transpose() + c_mu * rank_mu;
    spread_ *= std::exp(c_sigma / damping * (norm / expected - 1));
    const Eigen::SelfAdjointEigenSolver<Eigen::MatrixXd> solver(covariance_);
    axes_ = solver.eigenvectors();
    lengths_ = solver.eigenvalues().cwiseMax(1e-20).cwiseSqrt();
    const double widest = spread_ * lengths_.maxCoeff();
    return 1e-4 < widest && widest < 2 && lengths_.maxCoeff() < 1e7 * lengths_.minCoeff();
  }

 private:
  int branch_, size_, generation_ = 0;
  double spread_ = 0.1;
  Eigen::VectorXd mean_, lengths_, path_, path_of_size_;
  Eigen::MatrixXd covariance_, axes_;
};

}  // namespace

Outcome Meter::score(const BranchPoint& at) {
  if (left_ == 0) return {HUGE_VAL, 0, {}, {}};
  --left_;
  const Branch& branch = task_.branches[static_cast<std::size_t>(at.branch)];
  const Outcome outcome = evaluate(task_, branch, at.point, work_, draft_, variant_);
  recorder_.add({at.branch, at.point, outcome});
  return outcome;
}

void run_random(Meter& meter, std::uint64_t seed) {
  RandomStream random(seed, Purpose::test, 1);
  while (!meter.is_over()) meter.score(make_random(meter.task(), random));
}

void run_map_elites(Meter& meter, std::uint64_t seed) {
  RandomStream random(seed, Purpose::test, 2);
  Elites elites(meter.task());
  for (int i = 0; !meter.is_over(); ++i) {
    BranchPoint child = make_random(meter.task(), random);
    if (i >= first_samples && !elites.empty()) {
      const BranchPoint parent = elites.draw(random);
      child = {parent.branch,
               vary_along_line(parent.point, elites.draw_of(parent.branch, random), random)};
    }
    elites.insert(child, meter.score(child));
  }
}

void run_cma_me(Meter& meter, std::uint64_t seed) {
  constexpr int emitters = 15, batch = 36;
  RandomStream random(seed, Purpose::test, 3);
  Elites elites(meter.task());
  for (int i = 0; !meter.is_over() && (i < first_samples || elites.empty()); ++i) {
    const BranchPoint at = make_random(meter.task(), random);
    elites.insert(at, meter.score(at));
  }
  std::vector<std::optional<Emitter>> team(emitters);
  while (!meter.is_over())
    for (std::optional<Emitter>& emitter : team) {
      if (!emitter) emitter.emplace(elites.draw(random), batch);
      std::vector<Emitter::Told> told;
      for (int i = 0; i < batch; ++i) {
        const BranchPoint at = emitter->ask(random);
        const auto [gain, is_new] = elites.insert(at, meter.score(at));
        told.push_back({at.point, is_new, gain});
      }
      if (!emitter->tell(std::move(told))) emitter.reset();
    }
}

void run_mome(Meter& meter, std::uint64_t seed) {
  constexpr std::size_t front_size = 50;
  RandomStream random(seed, Purpose::test, 4);
  const GridArchive grid(archive_cells);
  std::map<std::pair<int, int>, std::size_t> number_of;
  std::vector<Front> fronts;
  std::map<int, std::vector<std::size_t>> of_branch;
  const auto draw_from = [&](const std::vector<Find>& finds) -> const Find& {
    return finds[random.below(finds.size())];
  };
  for (int i = 0; !meter.is_over(); ++i) {
    BranchPoint child = make_random(meter.task(), random);
    if (i >= first_samples && !fronts.empty()) {
      const Find& parent = draw_from(fronts[random.below(fronts.size())].finds());
      const auto& alike = of_branch.at(parent.branch);
      const Find& mate = draw_from(fronts[alike[random.below(alike.size())]].finds());
      child = {parent.branch, vary_along_line(parent.point, mate.point, random)};
    }
    const Outcome outcome = meter.score(child);
    if (!outcome.feasible()) continue;
    const auto [place, is_new] =
        number_of.try_emplace({child.branch, grid.find_cell(outcome.measures)}, fronts.size());
    if (is_new) {
      fronts.emplace_back(By::objectives, front_size);
      of_branch[child.branch].push_back(place->second);
    }
    fronts[place->second].take({child.branch, child.point, outcome});
  }
}

}  // namespace sixtyfold::bench
