#pragma once
// The workshop's pages and actions over HTTP.
//
//   GET  /TOKEN/                    the page
//   GET  /TOKEN/state?since=N       what it shows
//   GET  /TOKEN/list/FOLDER         designs and documents of one folder
//   GET  /TOKEN/picture/FOLDER/...  a design's picture (SVG)
//   GET  /TOKEN/shape/FOLDER/...    a design for the 3D view (JSON)
//   GET  /TOKEN/files/...           a file of the workshop's folder
//   POST /TOKEN/act                 an action (JSON)

#include <string>

#include "tools/served/http_server.h"
#include "tools/workshop/desk.h"

namespace sixtyfold {

/// 403 for whatever does not begin with the token, 404 for what is not there, 400 with one sentence
/// for an action that is refused.
HttpResponse answer_workshop(WorkshopDesk& workshop, const std::string& token,
                             const HttpRequest& request);

}  // namespace sixtyfold
