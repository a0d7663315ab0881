#include "tools/workshop/answer.h"

#include <algorithm>
#include <nlohmann/json.hpp>
#include <stdexcept>

#include "results/workshop/workshop_page.h"
#include "tools/options/arguments.h"
#include "tools/served/secret.h"
#include "tools/served/served_file.h"

namespace sixtyfold {

namespace {

constexpr char json_type[] = "application/json";

HttpResponse make_refusal(int status, const std::string& sentence) {
  HttpResponse response;
  response.status = status;
  response.type = json_type;
  response.body = nlohmann::ordered_json{{"fault", sentence}}.dump(
      -1, ' ', false, nlohmann::json::error_handler_t::replace);
  return response;
}

HttpResponse make_json_answer(std::string body) {
  HttpResponse response;
  response.type = json_type;
  response.body = std::move(body);
  return response;
}

HttpResponse make_page_answer(const WorkshopDesk& workshop) {
  const std::string nonce = make_token();
  HttpResponse response;
  response.type = "text/html; charset=utf-8";
  response.body = make_workshop_page(read_gallery_words(workshop.language()), nonce);
  response.policy = "default-src 'none'; script-src 'nonce-" + nonce +
                    "'; style-src 'unsafe-inline'; img-src data: blob:; connect-src 'self'; "
                    "base-uri 'none'; form-action 'none'; frame-ancestors 'none'";
  return response;
}

/// "so-far/0123abcd.json" of what stands behind the folder.
std::string join_behind(const std::vector<std::string>& path, std::size_t first) {
  std::string joined;
  for (std::size_t i = first; i < path.size(); ++i) joined += (i > first ? "/" : "") + path[i];
  return joined;
}

HttpResponse get(const WorkshopDesk& workshop, const std::vector<std::string>& path,
                 const HttpRequest& request) {
  const std::string& what = path[0];
  if (path.size() == 1 && what.empty()) return make_page_answer(workshop);
  if (path.size() == 1 && what == "state") {
    const auto since = request.query.find("since");
    return make_json_answer(
        workshop.tell_state(since == request.query.end() ? 0 : parse_whole(since->second)));
  }
  if (path.size() == 2 && what == "list") return make_json_answer(workshop.tell_list(path[1]));
  if (path.size() > 2 && what == "picture") {
    HttpResponse response;
    response.type = "image/svg+xml";
    response.policy = "default-src 'none'; style-src 'unsafe-inline'; sandbox";
    response.body = workshop.make_picture(path[1], join_behind(path, 2));
    return response;
  }
  if (path.size() > 2 && what == "shape")
    return make_json_answer(workshop.make_shape(path[1], join_behind(path, 2)));
  if (path.size() > 1 && what == "files")
    return make_file_answer(workshop.folder(), {path.begin() + 1, path.end()});
  return make_refusal(404, "there is no such page here");
}

}  // namespace

HttpResponse answer_workshop(WorkshopDesk& workshop, const std::string& token,
                             const HttpRequest& request) {
  if (request.path.size() < 2 || !is_same_secret(request.path[0], token))
    return make_refusal(403, "the address lacks its key: open the one the workshop printed");
  const std::vector<std::string> path(request.path.begin() + 1, request.path.end());
  try {
    if (request.method != "POST") return get(workshop, path, request);
    if (path.size() != 1 || path[0] != "act") return make_refusal(404, "nothing is done here");
    workshop.act(request.body);
    return make_json_answer(workshop.tell_state(0));
  } catch (const std::invalid_argument& fault) {
    return make_refusal(request.method == "POST" ? 400 : 404, fault.what());
  }
}

}  // namespace sixtyfold
