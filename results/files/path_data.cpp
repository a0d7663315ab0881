#include "results/files/path_data.h"

#include <algorithm>
#include <charconv>
#include <cmath>
#include <stdexcept>
#include <string>

namespace sixtyfold {
namespace {

constexpr double largest_coordinate = 1e7;
constexpr std::size_t most_points = 100000;
constexpr int most_chords = 2000;  // of one curve

// The larger singular value: how much a length grows at most.
double measure_stretch(const Transform2& t) {
  const double square = t.linear.squaredNorm(), area = t.linear.determinant();
  return std::sqrt((square + std::sqrt(std::max(0.0, square * square - 4 * area * area))) / 2);
}

int count_arc_chords(double radius, double angle, double tolerance) {
  const double ratio = std::min(1.0, tolerance / std::max(radius, 1e-300));
  const double step = std::max(2 * std::acos(1 - ratio), 1e-3);
  return std::clamp(static_cast<int>(std::ceil(std::abs(angle) / step)), 1, most_chords);
}

class Reader {
 public:
  Reader(std::string_view text, const Transform2& to_target, double tolerance)
      : text_(text),
        to_target_(to_target),
        tolerance_(tolerance),
        stretch_(measure_stretch(to_target)) {}

  std::vector<Polygon> read() {
    skip_space();
    while (at_ < text_.size()) {
      const char command = text_[at_];
      if (std::string_view("MmLlHhVvCcSsQqTtAaZz").find(command) == std::string_view::npos)
        fail(std::string("a command letter is expected, not '") + printable(command) + "'");
      ++at_;
      if (loops_.empty() && command != 'M' && command != 'm') fail("path data begins with M");
      if (command == 'Z' || command == 'z') {
        pen_ = start_;
        last_ = command;
        open_ = false;
        skip_space();
        continue;
      }
      bool first = true;
      do {
        draw(command, first);
        first = false;
        skip_separator();
      } while (at_number());
    }
    return std::move(loops_);
  }

 private:
  static std::string printable(char c) {
    return c >= ' ' && c <= '~' ? std::string(1, c) : std::string("?");
  }
  [[noreturn]] void fail(const std::string& what) const {
    throw std::invalid_argument("path data, character " + std::to_string(at_ + 1) + ": " + what);
  }
  void skip_space() {
    while (at_ < text_.size() &&
           std::string_view(" \t\r\n\f").find(text_[at_]) != std::string_view::npos)
      ++at_;
  }
  void skip_separator() {
    skip_space();
    if (at_ < text_.size() && text_[at_] == ',') {
      ++at_;
      skip_space();
      if (!at_number()) fail("a number is expected after a comma");
    }
  }
  bool at_number() const {
    return at_ < text_.size() &&
           std::string_view("0123456789+-.").find(text_[at_]) != std::string_view::npos;
  }
  double number() {
    skip_separator();
    if (!at_number()) fail("a number is expected");
    const char* begin = text_.data() + at_;
    const char* end = text_.data() + text_.size();
    if (*begin == '+') ++begin;  // from_chars knows no plus sign
    double value = 0;
    const auto [stop, error] = std::from_chars(begin, end, value);
    if (error != std::errc() || stop == begin) fail("a number is expected");
    if (!(std::abs(value) <= largest_coordinate))
      fail("a number lies beyond " + std::to_string(static_cast<int>(largest_coordinate)));
    at_ = static_cast<std::size_t>(stop - text_.data());
    return value;
  }
  bool flag() {  // flags need no separator
    skip_separator();
    if (at_ >= text_.size() || (text_[at_] != '0' && text_[at_] != '1'))
      fail("an arc flag must be 0 or 1");
    return text_[at_++] == '1';
  }
  Vec2 point(bool relative) {
    const double x = number(), y = number();
    return relative ? Vec2(pen_ + Vec2(x, y)) : Vec2(x, y);
  }

  void put(const Vec2& p) {
    if (++points_ > most_points) fail("the path has more than 100000 points");
    loops_.back().push_back(to_target_(p));
  }
  void ensure_open() {  // drawing on after Z begins a new subpath at the old start
    if (open_) return;
    loops_.emplace_back();
    open_ = true;
    start_ = pen_;
    put(pen_);
  }
  void line_to(const Vec2& p) {
    ensure_open();
    put(p);
    pen_ = p;
  }
  void cubic_to(const Vec2& a, const Vec2& b, const Vec2& end) {
    ensure_open();
    // Chord count after Wang (Pavlidis 1982): n^2 >= 3/4 of the largest second difference /
    // tolerance.
    const Vec2 p = pen_;
    const double bend = std::max((to_target_.linear * (p - 2 * a + b)).norm(),
                                 (to_target_.linear * (a - 2 * b + end)).norm());
    const int count = std::clamp(static_cast<int>(std::ceil(std::sqrt(0.75 * bend / tolerance_))),
                                 1, most_chords);
    for (int i = 1; i < count; ++i) {
      const double t = static_cast<double>(i) / count, s = 1 - t;
      put(s * s * s * p + 3 * s * s * t * a + 3 * s * t * t * b + t * t * t * end);
    }
    put(end);
    pen_ = end;
  }
  void quadratic_to(const Vec2& control, const Vec2& end) {
    cubic_to(pen_ + 2.0 / 3 * (control - pen_), end + 2.0 / 3 * (control - end), end);
  }
  // Centre parameterisation of SVG 1.1, appendix F.6.5 and F.6.6.
  void arc_to(double rx, double ry, double turn, bool large, bool sweep, const Vec2& end) {
    ensure_open();
    rx = std::abs(rx);
    ry = std::abs(ry);
    if (rx == 0 || ry == 0 || end == pen_) return line_to(end);
    const Eigen::Rotation2Dd rotation(turn);
    const Vec2 half = rotation.inverse() * ((pen_ - end) / 2);
    const double excess = std::pow(half.x() / rx, 2) + std::pow(half.y() / ry, 2);
    if (excess > 1) {
      rx *= std::sqrt(excess);
      ry *= std::sqrt(excess);
    }
    const double under = std::pow(rx * half.y(), 2) + std::pow(ry * half.x(), 2);
    double root = std::sqrt(std::max(0.0, (rx * rx * ry * ry - under) / under));
    if (large == sweep) root = -root;
    const Vec2 centre_turned(root * rx * half.y() / ry, -root * ry * half.x() / rx);
    const Vec2 centre = rotation * centre_turned + (pen_ + end) / 2;
    const auto angle_of = [&](const Vec2& v) {
      return std::atan2((v.y() - centre_turned.y()) / ry, (v.x() - centre_turned.x()) / rx);
    };
    const double from = angle_of(half);
    double sweep_angle = angle_of(-half) - from;
    if (sweep && sweep_angle < 0) sweep_angle += 2 * pi;
    if (!sweep && sweep_angle > 0) sweep_angle -= 2 * pi;
    const int count = count_arc_chords(std::max(rx, ry) * stretch_, sweep_angle, tolerance_);
    for (int i = 1; i < count; ++i) {
      const double angle = from + sweep_angle * i / count;
      put(centre + rotation * Vec2(rx * std::cos(angle), ry * std::sin(angle)));
    }
    put(end);
    pen_ = end;
  }

  void draw(char command, bool first) {
    const bool relative = command >= 'a';
    const char kind = relative ? static_cast<char>(command - 'a' + 'A') : command;
    const Vec2 pen = pen_;
    switch (kind) {
      case 'M':
        if (first) {
          pen_ = point(relative);
          loops_.emplace_back();
          open_ = true;
          start_ = pen_;
          put(pen_);
        } else {
          line_to(point(relative));
        }
        break;
      case 'L':
        line_to(point(relative));
        break;
      case 'H':
        line_to({number() + (relative ? pen.x() : 0), pen.y()});
        break;
      case 'V':
        line_to({pen.x(), number() + (relative ? pen.y() : 0)});
        break;
      case 'C': {
        const Vec2 a = point(relative), b = point(relative), end = point(relative);
        cubic_to(a, b, end);
        control_ = b;
        break;
      }
      case 'S': {
        const bool smooth = last_ == 'C' || last_ == 'S';
        const Vec2 a = smooth ? Vec2(2 * pen - control_) : pen;
        const Vec2 b = point(relative), end = point(relative);
        cubic_to(a, b, end);
        control_ = b;
        break;
      }
      case 'Q': {
        const Vec2 control = point(relative), end = point(relative);
        quadratic_to(control, end);
        control_ = control;
        break;
      }
      case 'T': {
        const bool smooth = last_ == 'Q' || last_ == 'T';
        const Vec2 control = smooth ? Vec2(2 * pen - control_) : pen, end = point(relative);
        quadratic_to(control, end);
        control_ = control;
        break;
      }
      case 'A': {
        const double rx = number(), ry = number(), turn = to_radians(number());
        const bool large = flag(), sweep = flag();
        arc_to(rx, ry, turn, large, sweep, point(relative));
        break;
      }
      default:
        break;
    }
    last_ = kind;
  }

  std::string_view text_;
  const Transform2& to_target_;
  double tolerance_, stretch_;
  std::size_t at_ = 0, points_ = 0;
  std::vector<Polygon> loops_;
  Vec2 pen_ = Vec2::Zero(), start_ = Vec2::Zero(), control_ = Vec2::Zero();
  char last_ = 0;
  bool open_ = false;
};

}  // namespace

std::vector<Polygon> make_loops(std::string_view path_data, const Transform2& to_target,
                                double tolerance) {
  return Reader(path_data, to_target, tolerance).read();
}

Polygon make_ellipse_loop(const Vec2& centre, const Vec2& radii, const Transform2& to_target,
                          double tolerance) {
  const int count = std::max(
      8, count_arc_chords(radii.maxCoeff() * measure_stretch(to_target), 2 * pi, tolerance));
  Polygon loop;
  for (int i = 0; i < count; ++i) {
    const double angle = 2 * pi * i / count;
    loop.push_back(
        to_target(centre + Vec2(radii.x() * std::cos(angle), radii.y() * std::sin(angle))));
  }
  return loop;
}

}  // namespace sixtyfold
