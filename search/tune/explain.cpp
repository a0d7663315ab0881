#include "search/tune/explain.h"

#include <cmath>
#include <vector>

#include "engine/text.h"

namespace sixtyfold {
namespace {

std::string tell_losses(const Losses& losses) {
  int all = 0;
  for (const int count : losses) all += count;
  const std::pair<Loss, const char*> reasons[] = {
      {Loss::none, "miss a limit by little and are no better"},
      {Loss::no_gain, "are no better than before"},
      {Loss::pieces, "fall apart with fewer"},
      {Loss::body, "lose the middle of the panel or a hole"},
      {Loss::limits, "fall apart or miss a limit on joints, plane angles, width or size by far"},
      {Loss::rigidity, "are not rigid"},
      {Loss::look, "keep far less of the look than --keep-look asks for"},
      {Loss::trimming, "leave copies that pass through each other"}};
  if (all == 0) return "No change was tried.";
  std::string text = format("Of %d changes tried", all);
  const char* separator = " ";
  for (const auto& [loss, what] : reasons)
    if (const int count = losses[static_cast<std::size_t>(loss)]; count > 0) {
      text += separator + std::to_string(count) + " " + what;
      separator = ", ";
    }
  return text + ".";
}

std::vector<std::string> tell_misses(const TuneResult& result, const Change& nearest,
                                     const Demands& demands) {
  const bool for_stiffness = result.asked.goal.is_only_for("stiffness");
  std::vector<std::string> misses;
  if (nearest.overlap < demands.look)
    misses.push_back(format("keeps %.0f %% of the outline (--keep-look asks for %.0f %%)",
                            std::floor(100 * nearest.overlap), 100 * demands.look));
  if (nearest.share < demands.stiffness)
    misses.push_back(format("%s %.0f %% of the stiffness (%s %.0f %%)",
                            for_stiffness ? "has" : "keeps", std::floor(100 * nearest.share),
                            for_stiffness ? "wanted are at least" : "--keep-stiffness asks for",
                            100 * demands.stiffness));
  if (nearest.missed.joint_length > 0)
    misses.push_back("has a joint shorter than --min-joint allows");
  if (nearest.missed.angle > 0) misses.push_back("has a plane angle beyond --angles");
  if (nearest.missed.width > 0) misses.push_back("is thinner than --min-width allows");
  if (nearest.missed.diameter > 0) misses.push_back("is outside the --diameter wanted");
  if (misses.empty()) misses.push_back("is hardly better");
  return misses;
}

}  // namespace

std::string explain_none(const TuneResult& result, const Change* nearest, const Demands& demands,
                         const std::string& refusal, const Losses& losses) {
  if (!nearest) return tell_losses(losses);
  if (!refusal.empty())
    return "Of the changes that help none passes the full check; the first: " + refusal + ".";
  const std::vector<std::string> misses = tell_misses(result, *nearest, demands);
  std::string text = format("The nearest change, %s%d joints, ",
                            nearest->joints < result.before.design.score.joints ? "to " : "with ",
                            nearest->joints);
  for (std::size_t i = 0; i < misses.size(); ++i)
    text += (i == 0 ? "" : i + 1 == misses.size() ? " and " : ", ") + misses[i];
  return text + ".";
}

std::string explain_least(const TuneJob& job, const TuneResult& result, std::uint64_t tried) {
  return format(
      "It has %d joints, and no set of meeting lines in reach holds all %d panels together%s with "
      "fewer than %d: as its plane stands, any other would need outlines that reach out for each "
      "other by more than %.0f mm together, or a plane angle beyond the limits. Of changes with "
      "the plane and the outline slightly turned and moved %llu were tried, too; none passes.",
      result.before.design.score.joints, result.before.design.score.panels,
      is_rigid_wanted(job) ? " rigidly" : "", result.least.least, result.reach_mm,
      static_cast<unsigned long long>(tried));
}

}  // namespace sixtyfold
