#include "tools/served/served_file.h"

#include <map>

#include "results/files/file.h"

namespace sixtyfold {

namespace fs = std::filesystem;

namespace {

// Our pages hold their scripts and styles inside and say their own, stricter rule in a <meta>.
const char* const page_policy =
    "default-src 'none'; script-src 'unsafe-inline'; style-src 'unsafe-inline'; img-src data: "
    "blob:; "
    "base-uri 'none'; form-action 'none'; frame-ancestors 'none'";
const char* const picture_policy = "default-src 'none'; style-src 'unsafe-inline'; sandbox";

bool is_inside(const fs::path& folder, const fs::path& file) {
  auto part = file.begin();
  for (const fs::path& step : folder)
    if (part == file.end() || *part++ != step) return false;
  return part != file.end();
}

HttpResponse make_not_found() {
  HttpResponse response;
  response.status = 404;
  response.body = "There is no such file here.\n";
  return response;
}

}  // namespace

std::string find_media_type(const std::string& name) {
  static const std::map<std::string, std::string> types = {
      {".html", "text/html; charset=utf-8"},
      {".svg", "image/svg+xml"},
      {".json", "application/json"},
      {".pdf", "application/pdf"},
      {".png", "image/png"},
      {".csv", "text/csv; charset=utf-8"},
      {".txt", "text/plain; charset=utf-8"},
      {".dxf", "image/vnd.dxf"},
      {".stl", "model/stl"},
      {".glb", "model/gltf-binary"},
  };
  const auto found = types.find(fs::path(name).extension().string());
  return found == types.end() ? "application/octet-stream" : found->second;
}

HttpResponse make_file_answer(const fs::path& folder, const std::vector<std::string>& path) {
  fs::path file = folder;
  for (const std::string& step : path) {
    if (step.empty() || step[0] == '.' || step.find('/') != std::string::npos)
      return make_not_found();
    file /= step;
  }
  std::error_code error;
  const fs::path home = fs::canonical(folder, error);
  if (error) return make_not_found();
  const fs::path real = fs::canonical(file, error);
  if (error || !is_inside(home, real) || !fs::is_regular_file(real, error) || error)
    return make_not_found();
  HttpResponse response;
  try {
    response.body = read_file(real, most_served_bytes);
  } catch (const std::exception&) {
    return make_not_found();
  }
  response.type = find_media_type(real.filename().string());
  response.policy = response.type.rfind("text/html", 0) == 0 ? page_policy : picture_policy;
  if (response.type == "application/pdf")
    response.policy = "frame-ancestors 'none'";  // for the viewer's sake
  return response;
}

}  // namespace sixtyfold
