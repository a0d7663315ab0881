#include "tests/support/pdf_paths.h"

#include <catch2/catch.hpp>
#include <cctype>
#include <fstream>
#include <sstream>

#include "results/files/file.h"
#include "tests/support/run_program.h"

namespace sixtyfold::test {

namespace {

struct Matrix {
  double a = 1, b = 0, c = 0, d = 1, e = 0, f = 0;
  Vec2 operator()(double x, double y) const { return {a * x + c * y + e, b * x + d * y + f}; }
  /// First `inner`, then this.
  Matrix after(const Matrix& inner) const {
    return {a * inner.a + c * inner.b,     b * inner.a + d * inner.b,
            a * inner.c + c * inner.d,     b * inner.c + d * inner.d,
            a * inner.e + c * inner.f + e, b * inner.e + d * inner.f + f};
  }
};

constexpr double mm = 25.4 / 72;

void draw(const std::string& content, PdfPage& page) {
  std::istringstream in(content);
  std::vector<double> numbers;
  std::vector<Matrix> stack;
  Matrix matrix;
  std::vector<PdfPath> open;
  bool clips = false;
  const auto place = [&](std::size_t i) {
    const Vec2 p = matrix(numbers[i], numbers[i + 1]) * mm;
    return Vec2(p.x(), page.height_mm - p.y());
  };
  const auto finish = [&](bool stroked) {
    for (PdfPath& path : open) {
      if (path.points_mm.size() < 2) continue;  // where the pen was put after closing
      path.stroked = stroked, path.clips = clips;
      page.paths.push_back(path);
    }
    open.clear();
    clips = false;
  };
  for (std::string token; in >> token;) {
    if (std::isdigit(static_cast<unsigned char>(token.back())) || token.back() == '.') {
      try {
        numbers.push_back(std::stod(token));
        continue;
      } catch (const std::exception&) {
      }
    }
    const std::size_t n = numbers.size();
    if (token == "q")
      stack.push_back(matrix);
    else if (token == "Q" && !stack.empty())
      matrix = stack.back(), stack.pop_back();
    else if (token == "cm" && n >= 6)
      matrix = matrix.after({numbers[n - 6], numbers[n - 5], numbers[n - 4], numbers[n - 3],
                             numbers[n - 2], numbers[n - 1]});
    else if (token == "m" && n >= 2)
      open.push_back({{place(n - 2)}, false, false, false});
    else if (token == "l" && n >= 2 && !open.empty())
      open.back().points_mm.push_back(place(n - 2));
    else if (token == "c" && n >= 6 && !open.empty())
      open.back().points_mm.push_back(place(n - 2));
    else if (token == "h" && !open.empty())
      open.back().closed = true;
    else if (token == "re" && n >= 4) {
      const double x = numbers[n - 4], y = numbers[n - 3], w = numbers[n - 2], h = numbers[n - 1];
      numbers = {x, y, x + w, y, x + w, y + h, x, y + h};
      open.push_back({{place(0), place(2), place(4), place(6)}, true, false, false});
    } else if (token == "W" || token == "W*")
      clips = true;
    else if (token == "S" || token == "s" || token == "B" || token == "B*" || token == "b" ||
             token == "b*")
      finish(true);
    else if (token == "f" || token == "F" || token == "f*" || token == "n")
      finish(false);
    numbers.clear();
  }
}

}  // namespace

std::vector<PdfPage> read_pdf(const std::string& bytes) {
  const ScratchFolder folder;
  write_file(folder.path() / "in.pdf", bytes);
  // Unpacked, and with every page's content in one stream, pages in order.
  const ProgramResult unpacked = run_program(
      {"qpdf", "--qdf", "--object-streams=disable", "--coalesce-contents", "in.pdf", "out.pdf"},
      folder.path());
  CAPTURE(unpacked.err);
  REQUIRE(unpacked.status == 0);
  const std::string text = read_file(folder.path() / "out.pdf", std::size_t{256} << 20);
  std::vector<PdfPage> pages;
  for (int number = 1;; ++number) {
    const std::string name = "page " + std::to_string(number) + "\n";
    const std::size_t object = text.find("%% P" + name.substr(1)),
                      content = text.find("%% Contents for " + name);
    if (object == std::string::npos || content == std::string::npos) break;
    PdfPage page;
    std::istringstream box(text.substr(text.find('[', text.find("/MediaBox", object)) + 1, 80));
    double x = 0, y = 0, width = 0, height = 0;
    REQUIRE(box >> x >> y >> width >> height);
    page.width_mm = width * mm, page.height_mm = height * mm;
    const std::size_t from = text.find("\nstream\n", content), to = text.find("\nendstream", from);
    REQUIRE(to != std::string::npos);
    draw(text.substr(from + 8, to - from - 8), page);
    pages.push_back(std::move(page));
  }
  return pages;
}

}  // namespace sixtyfold::test
