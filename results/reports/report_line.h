#pragma once
// The two columns of every printed report.

#include <string>

namespace sixtyfold {

/// Appends a line: heading in the first column, text in the second. Without a heading the text goes
/// on under the text before.
void add_report_line(std::string& report, const std::string& heading, const std::string& text);

}  // namespace sixtyfold
