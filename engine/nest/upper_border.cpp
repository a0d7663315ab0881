#include "engine/nest/upper_border.h"

#include <algorithm>
#include <cmath>
#include <limits>

namespace sixtyfold {

namespace {

constexpr double lowest = -std::numeric_limits<double>::infinity();
constexpr double slack_mm = 1e-6;

}  // namespace

UpperBorder::UpperBorder(const std::vector<Polygon>& region, const Vec2& shift) {
  for (const Polygon& polygon : region)
    for (const Vec2& p : polygon) stops_.push_back(p.x() + shift.x());
  std::sort(stops_.begin(), stops_.end());
  stops_.erase(std::unique(stops_.begin(), stops_.end()), stops_.end());
  if (stops_.size() < 2) return;
  spans_.assign(stops_.size() - 1, {lowest, lowest});
  per_step_ = static_cast<double>(spans_.size()) / (stops_.back() - stops_.front());
  std::size_t span = 0;
  for (std::size_t step = 0; step < spans_.size(); ++step) {
    const double x = stops_.front() + static_cast<double>(step) / per_step_;
    while (span + 1 < spans_.size() && stops_[span + 1] <= x) ++span;
    first_span_.push_back(static_cast<std::uint32_t>(span));
  }
  for (const Polygon& polygon : region)
    for (std::size_t i = 0; i < polygon.size(); ++i)
      raise(polygon[i] + shift, polygon[i + 1 == polygon.size() ? 0 : i + 1] + shift);
}

double UpperBorder::operator()(double x) const {
  if (stops_.size() < 2 || x < stops_.front() || x > stops_.back()) return lowest;
  const double step = (x - stops_.front()) * per_step_;
  std::size_t i = first_span_[std::min(static_cast<std::size_t>(step), spans_.size() - 1)];
  // Rounding may have put x into the step behind its own.
  while (i > 0 && stops_[i] > x) --i;
  while (i + 1 < spans_.size() && stops_[i + 1] <= x) ++i;
  double top = value(i, x);
  if (i >= 1 && x == stops_[i]) top = std::max(top, spans_[i - 1].right);
  return top;
}

void UpperBorder::raise(Vec2 p, Vec2 q) {
  if (p.x() > q.x()) std::swap(p, q);
  if (p.x() == q.x()) return;
  const double slope = (q.y() - p.y()) / (q.x() - p.x());
  const auto first = std::lower_bound(stops_.begin(), stops_.end(), p.x());
  for (std::size_t i = static_cast<std::size_t>(first - stops_.begin());
       i < spans_.size() && stops_[i] < q.x(); ++i) {
    // Edges of a region do not cross, so one is above over the whole span.
    const double left = p.y() + slope * (stops_[i] - p.x());
    const double right = p.y() + slope * (stops_[i + 1] - p.x());
    if (spans_[i].left == lowest || left + right > spans_[i].left + spans_[i].right)
      spans_[i] = {left, right};
  }
}

double UpperBorder::value(std::size_t i, double x) const {
  const Span& span = spans_[i];
  if (span.left == lowest) return lowest;
  const double share = (x - stops_[i]) / (stops_[i + 1] - stops_[i]);
  return span.left + share * (span.right - span.left);
}

double measure_row_height(const UpperBorder& border, const RowPair& rows) {
  // Part j of the upper row lies shift + (j - i) spacing right of part i of the lower one.
  const auto steps = [&](double x) { return (x - rows.shift) / rows.spacing; };
  const double first = std::max(1.0 - rows.below, std::ceil(steps(border.low_x())));
  const double last = std::min(rows.above - 1.0, std::floor(steps(border.high_x())));
  double height = 0;
  for (double k = first; k <= last; ++k)
    height = std::max(height, border(rows.shift + k * rows.spacing));
  return height;
}

RowSection::RowSection(const std::vector<Polygon>& same) {
  for (const Polygon& polygon : same)
    for (std::size_t i = 0; i < polygon.size(); ++i) {
      const Vec2& p = polygon[i];
      const Vec2& q = polygon[i + 1 == polygon.size() ? 0 : i + 1];
      if ((p.y() < 0) == (q.y() < 0)) continue;
      crossings_.push_back(p.x() + p.y() / (p.y() - q.y()) * (q.x() - p.x()));
    }
  std::sort(crossings_.begin(), crossings_.end());
}

bool RowSection::allows(double spacing) const {
  if (!(spacing > slack_mm)) return false;
  if (crossings_.empty()) return true;
  for (double x = spacing; x < crossings_.back(); x += spacing)
    for (std::size_t i = 0; i + 1 < crossings_.size(); i += 2)
      if (crossings_[i] + slack_mm < x && x < crossings_[i + 1] - slack_mm) return false;
  return true;
}

std::vector<double> RowSection::find_tight_spacings() const {
  std::vector<double> spacings;
  for (std::size_t i = 1; i < crossings_.size(); i += 2)
    if (allows(crossings_[i])) spacings.push_back(crossings_[i]);
  return spacings;
}

}  // namespace sixtyfold
