#include "results/files/run_output.h"

#include <algorithm>
#include <nlohmann/json.hpp>

#include "engine/hash.h"
#include "engine/text.h"
#include "results/drawings/curves_svg.h"
#include "results/drawings/drawing_svg.h"
#include "results/files/design_json.h"
#include "results/files/design_name.h"
#include "results/files/file.h"
#include "results/files/json_writer.h"
#include "results/files/kept_lines.h"
#include "results/files/run_plan_json.h"
#include "results/files/state_file.h"

namespace sixtyfold {

using nlohmann::ordered_json;

namespace {

/// "001.json" or "1234.svg".
bool is_candidate_file(const std::string& name) {
  const std::size_t dot = name.find('.');
  return dot != std::string::npos && dot >= 3 &&
         std::all_of(name.begin(), name.begin() + static_cast<std::ptrdiff_t>(dot),
                     [](char c) { return '0' <= c && c <= '9'; }) &&
         (name.substr(dot) == ".json" || name.substr(dot) == ".svg");
}

void remove_candidates_from(const std::filesystem::path& folder, int first_rank) {
  for (const auto& entry : std::filesystem::directory_iterator(folder)) {
    const std::string name = entry.path().filename().string();
    if (is_candidate_file(name) && name.size() < 14 && std::stoi(name) >= first_rank)
      std::filesystem::remove(entry.path());
  }
}

ordered_json write_tally(const Tally& tally) {
  ordered_json turned_down = ordered_json::object();
  for (std::size_t s = 0; s < tally.by_status.size(); ++s)
    if (static_cast<Status>(s) != Status::ok && tally.by_status[s] > 0)
      turned_down[name_of(static_cast<Status>(s))] = tally.by_status[s];
  if (tally.out_of_bounds > 0) turned_down["bounds"] = tally.out_of_bounds;
  return {
      {"variants", tally.evaluated}, {"feasible", tally.feasible}, {"turned_down", turned_down}};
}

}  // namespace

bool is_run_file(const std::string& name) {
  return is_candidate_file(name) || name == "search.json" || name == "curves.svg" ||
         name == "so-far.json" || name == "run.json" || name == "ranking.json" ||
         name == "kept.jsonl" || name == state_file_name(StateKind::checkpoint) ||
         name == state_file_name(StateKind::finds);
}

std::string find_run_identity(const RunPlan& plan) {
  return format("run-%016llx",
                static_cast<unsigned long long>(make_hash(write_run_plan_json(plan).dump())));
}

std::string write_search_json(const RunOutput& output) {
  const Pool all = merge_pools(output.pools);
  ordered_json branches = ordered_json::array(), curve = ordered_json::array();
  for (std::size_t b = 0; b < output.task.branches.size(); ++b) {
    const Branch& branch = output.task.branches[b];
    if (b >= all.evaluated_by_branch.size()) break;
    branches.push_back({{"symmetry", branch.symmetry},
                        {"plane", branch.plane},
                        {"family", branch.family},
                        {"panels", branch.scheme.panels()},
                        {"variants", all.evaluated_by_branch[b]},
                        {"feasible", all.found_by_branch[b]}});
  }
  for (const CurveRow& row : all.curve) {
    curve.push_back({{"variants", row.evaluated},
                     {"feasible", row.feasible},
                     {"coverage", row.coverage},
                     {"qd_score", row.qd_score},
                     {"best", row.best}});
    if (!output.plan.goals.pareto.empty()) curve.back()["hypervolume"] = row.hypervolume;
  }
  ordered_json document = {{"format", "sixtyfold-search"},
                           {"version", 1},
                           {"asked", write_run_plan_json(output.plan)},
                           {"tally", write_tally(all.tally)},
                           {"finds", all.finds.size()},
                           {"near_duplicates_dropped", output.choice.duplicates},
                           {"refused_by_the_check", output.choice.refused},
                           {"not_going_together", output.choice.not_going_together}};
  if (output.choice.only_flexible) document["only_flexible"] = true;
  if (output.choice.candidates.empty() && all.tally.feasible == 0)
    document["nothing_found"] = explain_nothing_found(output.task, all.tally);
  document["branches"] = branches;
  document["curve"] = curve;
  return write_json(document);
}

void write_run_output(const std::filesystem::path& folder, RunOutput output) {
  std::vector<Design> designs;
  for (const Candidate& candidate : output.choice.candidates) designs.push_back(candidate.design);
  const std::vector<std::string> names = find_design_names(designs);
  const std::string identity = find_run_identity(output.plan);
  for (std::size_t i = 0; i < names.size(); ++i) {
    Design& design = output.choice.candidates[i].design;
    design.name = names[i];
    design.material = output.plan.material;
    design.found_in = identity;
  }
  DrawingOptions drawing;
  drawing.colours = output.plan.colours;
  std::vector<std::string> drawings(names.size());
  output.evaluator.run(static_cast<int>(names.size()), [&](int job, int) {
    const auto j = static_cast<std::size_t>(job);
    drawings[j] = make_drawing_svg(output.choice.candidates[j].design, drawing);
  });
  std::vector<RankedFile> ranking;
  int rank = 0;
  for (const Candidate& candidate : output.choice.candidates) {
    const std::string& svg = drawings[static_cast<std::size_t>(rank)];
    ++rank;
    write_file(folder / candidate_file_name(rank, "json"), write_design_json(candidate.design));
    write_file(folder / candidate_file_name(rank, "svg"), svg);
    ranking.push_back(make_ranked_file(rank, candidate.design));
    ranking.back().reasons = candidate.reasons;
  }
  remove_candidates_from(folder, rank + 1);
  write_file(folder / "search.json", write_search_json(output));
  write_file(folder / "curves.svg", make_curves_svg(merge_pools(output.pools), output.plan.goals));
  State state;
  std::vector<Pool> pools = output.pools;
  state.exchange(pools);
  write_state_file(folder, StateKind::finds, output.plan, 0, state);
  write_file(folder / "kept.jsonl", write_kept_lines(output.task, output.pools));
  write_file(folder / "run.json", write_run_json(output.record));
  if (!ranking.empty())
    write_file(folder / "ranking.json", write_ranking_json(ranking), Keep::on_the_disk);
}

}  // namespace sixtyfold
