#pragma once
// One small HTTP server for the pages this program serves by itself: GNU libmicrohttpd in bounds.
//
//   HttpServer server({"127.0.0.1", 0}, {}, [&](const HttpRequest& request) { ... });
//   std::cout << server.origin() << "/";

#include <filesystem>
#include <functional>
#include <map>
#include <memory>
#include <string>
#include <utility>
#include <vector>

namespace sixtyfold {

/// What was asked. Nothing in it is longer than HttpBounds allow; all of it may be hostile.
struct HttpRequest {
  std::string method;                        ///< GET or POST; HEAD comes as GET
  std::vector<std::string> path;             ///< "/a/b": {"a", "b"}; decoded, see promise 3
  std::map<std::string, std::string> query;  ///< decoded; of a key given twice the last
  std::string body;                          ///< of a POST
  std::string client;                        ///< its address, as numbers
  bool takes_gzip = false;                   ///< by its Accept-Encoding (RFC 9110, 12.5.3)
};

struct HttpResponse {
  int status = 200;
  std::string type = "text/plain; charset=utf-8";
  std::string body;
  /// Content-Security-Policy; the default forbids everything.
  std::string policy = "default-src 'none'";
  std::vector<std::pair<std::string, std::string>> headers = {};  ///< beside the usual ones
};

struct HttpAddress {
  std::string host = "127.0.0.1";  ///< an address of this machine, as numbers; IPv4 or IPv6
  int port = 0;                    ///< 0: any that is free
};

struct HttpBounds {
  std::size_t body_bytes = 65536;
  int connections = 1500;         ///< open at once; those beyond are closed
  int connections_each = 1200;    ///< of one client
  int answered_each = 300;        ///< a client with more open ones is answered 503
  int idle_s = 10;                ///< a connection nothing comes from is closed
  int request_s = 20;             ///< and one whose request is not whole by then
  double requests_per_s = 100;    ///< of one client, on average; beyond it is answered 429
  double requests_at_once = 400;  ///< that may come in a burst
};

/// Promises:
/// 1. it listens on that one address; `answer` is called from one thread, one request at a time,
///    and never after the destructor;
/// 2. only a request whose Host is the address shown (with its port; "localhost" beside a loopback
///    address) is answered, others with 421; an Origin that is another one with 403; a POST without
///    this Origin or whose type is not application/json with 403, so that no foreign page and no
///    form of one gets anything done;
/// 3. paths hold no empty segment but the last, no "." or "..", no control character, backslash or
///    slash that was encoded, and are UTF-8: else 400. A trailing slash gives an empty last
///    segment;
/// 4. a body larger than allowed, or of unknown length, is refused before it is read (413, 411);
///    other methods with 405; what `answer` throws becomes 500 and its text is not sent;
/// 5. every answer says: not sniffed, not framed, not stored, no referrer, its policy.
class HttpServer {
 public:
  using Answer = std::function<HttpResponse(const HttpRequest&)>;
  /// Throws std::runtime_error: the address is not this machine's, or the port is taken.
  HttpServer(const HttpAddress& address, const HttpBounds& bounds, Answer answer);
  ~HttpServer();
  HttpServer(const HttpServer&) = delete;
  HttpServer& operator=(const HttpServer&) = delete;

  int port() const;
  /// "http://127.0.0.1:40213"
  std::string origin() const;

 private:
  struct Inside;
  std::unique_ptr<Inside> inside_;
};

}  // namespace sixtyfold
