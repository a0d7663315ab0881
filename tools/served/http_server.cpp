#include "tools/served/http_server.h"

#include <arpa/inet.h>
#include <microhttpd.h>
#include <netinet/in.h>
#include <sys/resource.h>
#include <sys/socket.h>

#include <algorithm>
#include <chrono>
#include <condition_variable>
#include <cstring>
#include <future>
#include <mutex>
#include <optional>
#include <set>
#include <stdexcept>
#include <thread>

#include "engine/text.h"
#include "tools/served/client_rates.h"
#include "tools/served/uri.h"

namespace sixtyfold {

namespace {

using Clock = std::chrono::steady_clock;

constexpr std::size_t memory_each = 32768;  // of a connection: request line, headers, output
constexpr int sending_s = 180;              // a large page to a slow phone
constexpr rlim_t most_files = 4096;

HttpResponse refuse(int status, const std::string& sentence) {
  HttpResponse response;
  response.status = status;
  response.body = sentence + "\n";
  return response;
}

/// A connection from its opening to its end.
struct Connection {
  int socket = -1;
  std::string client;
  Clock::time_point deadline;
};

/// A request from its first line to its answer.
struct Pending {
  std::string uri;
  HttpRequest request;
  bool has_begun = false;
};

union SocketAddress {
  sockaddr any;
  sockaddr_in four;
  sockaddr_in6 six;
};

std::optional<SocketAddress> read_address(const HttpAddress& address) {
  SocketAddress result;
  std::memset(&result, 0, sizeof result);
  const auto port = htons(static_cast<std::uint16_t>(address.port));
  if (inet_pton(AF_INET, address.host.c_str(), &result.four.sin_addr) == 1) {
    result.four.sin_family = AF_INET;
    result.four.sin_port = port;
    return result;
  }
  if (inet_pton(AF_INET6, address.host.c_str(), &result.six.sin6_addr) == 1) {
    result.six.sin6_family = AF_INET6;
    result.six.sin6_port = port;
    return result;
  }
  return std::nullopt;
}

std::string tell_address(const sockaddr* address) {
  char text[INET6_ADDRSTRLEN] = "";
  if (address->sa_family == AF_INET)
    inet_ntop(AF_INET, &reinterpret_cast<const sockaddr_in*>(address)->sin_addr, text, sizeof text);
  else if (address->sa_family == AF_INET6)
    inet_ntop(AF_INET6, &reinterpret_cast<const sockaddr_in6*>(address)->sin6_addr, text,
              sizeof text);
  return text;
}

bool is_loopback(const SocketAddress& address) {
  if (address.any.sa_family == AF_INET) return ntohl(address.four.sin_addr.s_addr) >> 24 == 127;
  return IN6_IS_ADDR_LOOPBACK(&address.six.sin6_addr);
}

/// A process may hold 1,024 files as a rule; a server that is attacked holds more connections.
void allow_many_files() {
  rlimit limit;
  if (getrlimit(RLIMIT_NOFILE, &limit) != 0 || limit.rlim_cur >= most_files) return;
  limit.rlim_cur = std::min(limit.rlim_max, most_files);
  setrlimit(RLIMIT_NOFILE, &limit);
}

std::string find_header(MHD_Connection* connection, const char* name) {
  const char* value = MHD_lookup_connection_value(connection, MHD_HEADER_KIND, name);
  return value == nullptr ? "" : value;
}

/// Whether gzip stands in the list, and not as refused ("gzip;q=0").
bool takes_gzip(const std::string& encodings) {
  const std::size_t at = encodings.find("gzip");
  if (at == std::string::npos) return false;
  const std::string rest = encodings.substr(at + 4, encodings.find(',', at) - at - 4);
  return rest.find_first_not_of(" \t") == std::string::npos;
}

MHD_Result send(MHD_Connection* connection, const HttpResponse& response) {
  MHD_Response* sent = MHD_create_response_from_buffer(
      response.body.size(), const_cast<char*>(response.body.data()), MHD_RESPMEM_MUST_COPY);
  if (sent == nullptr) return MHD_NO;
  const auto add = [&](const std::string& name, const std::string& value) {
    MHD_add_response_header(sent, name.c_str(), value.c_str());
  };
  add("Content-Type", response.type);
  add("Content-Security-Policy", response.policy);
  add("X-Content-Type-Options", "nosniff");
  add("X-Frame-Options", "DENY");
  add("Referrer-Policy", "no-referrer");
  add("Cross-Origin-Resource-Policy", "same-origin");
  add("Cross-Origin-Opener-Policy", "same-origin");
  add("Cache-Control", "no-store");
  for (const auto& [name, value] : response.headers) add(name, value);
  const MHD_Result result =
      MHD_queue_response(connection, static_cast<unsigned>(response.status), sent);
  MHD_destroy_response(sent);
  return result;
}

}  // namespace

struct HttpServer::Inside {
  HttpBounds bounds;
  Answer answer;
  std::string origin;
  std::set<std::string> hosts, origins;
  MHD_Daemon* daemon = nullptr;
  int port = 0;

  ClientRates rates;  // of the server's thread alone
  std::mutex mutex;   // for what stands below
  std::condition_variable is_over;
  bool ends = false;
  std::set<Connection*> open;
  std::map<std::string, int> open_of;
  std::thread watch;
  // The daemon answers before its constructor can say under which names: it waits for them.
  std::promise<void> named;
  std::shared_future<void> is_named = named.get_future();

  Inside(const HttpBounds& given, Answer answer_)
      : bounds(given),
        answer(std::move(answer_)),
        rates(given.requests_per_s, given.requests_at_once) {}

  static Connection* find_connection(MHD_Connection* connection) {
    const MHD_ConnectionInfo* info =
        MHD_get_connection_info(connection, MHD_CONNECTION_INFO_SOCKET_CONTEXT);
    return info == nullptr ? nullptr : static_cast<Connection*>(info->socket_context);
  }

  void give_time(MHD_Connection* connection, int seconds) {
    const std::lock_guard<std::mutex> lock(mutex);
    if (Connection* known = find_connection(connection))
      known->deadline = Clock::now() + std::chrono::seconds(seconds);
  }

  void note(MHD_Connection* connection, void** context, bool begins) {
    const std::lock_guard<std::mutex> lock(mutex);
    if (begins) {
      auto* known = new Connection;
      known->socket =
          MHD_get_connection_info(connection, MHD_CONNECTION_INFO_CONNECTION_FD)->connect_fd;
      known->client = tell_address(
          MHD_get_connection_info(connection, MHD_CONNECTION_INFO_CLIENT_ADDRESS)->client_addr);
      known->deadline = Clock::now() + std::chrono::seconds(bounds.request_s);
      open.insert(known);
      ++open_of[known->client];
      *context = known;
    } else if (auto* known = static_cast<Connection*>(*context)) {
      if (--open_of[known->client] == 0) open_of.erase(known->client);
      open.erase(known);
      delete known;
      *context = nullptr;
    }
  }

  /// The library ends connections nothing comes from; this ends those that come in drips. While a
  /// connection is in `open` its socket is its own.
  void watch_deadlines() {
    std::unique_lock<std::mutex> lock(mutex);
    while (!is_over.wait_for(lock, std::chrono::milliseconds(500), [&] { return ends; }))
      for (Connection* known : open)
        if (known->deadline < Clock::now()) shutdown(known->socket, SHUT_RDWR);
  }

  int count_open(const std::string& client) {
    const std::lock_guard<std::mutex> lock(mutex);
    const auto found = open_of.find(client);
    return found == open_of.end() ? 0 : found->second;
  }

  /// What can be said before a body is read.
  std::optional<HttpResponse> find_refusal(MHD_Connection* connection, const std::string& method,
                                           Pending& pending) {
    HttpRequest& request = pending.request;
    request.client = tell_address(
        MHD_get_connection_info(connection, MHD_CONNECTION_INFO_CLIENT_ADDRESS)->client_addr);
    if (count_open(request.client) > bounds.answered_each) {
      HttpResponse response = refuse(503, "Too many connections are open from this device.");
      response.headers.emplace_back("Connection", "close");
      return response;
    }
    if (!rates.take(request.client)) {
      HttpResponse response = refuse(429, "Too many requests from this device; wait a moment.");
      response.headers.emplace_back("Retry-After", "2");
      return response;
    }
    if (hosts.count(find_header(connection, "Host")) == 0)
      return refuse(421, "This server answers only at " + origin + ".");
    const std::string from = find_header(connection, "Origin");
    if (!from.empty() && origins.count(from) == 0)
      return refuse(403, "Another page's request is not answered.");
    if (method != "GET" && method != "HEAD" && method != "POST") {
      HttpResponse response = refuse(405, "Only GET and POST are answered.");
      response.headers.emplace_back("Allow", "GET, HEAD, POST");
      return response;
    }
    const std::optional<Uri> uri = read_uri(pending.uri);
    if (!uri) return refuse(400, "The address can not be read.");
    request.path = uri->path;
    request.query = uri->query;
    request.method = method == "POST" ? "POST" : "GET";
    request.takes_gzip = takes_gzip(find_header(connection, "Accept-Encoding"));
    const std::string length = find_header(connection, "Content-Length");
    const bool has_body =
        !find_header(connection, "Transfer-Encoding").empty() || (!length.empty() && length != "0");
    if (request.method == "GET")
      return has_body ? std::optional(refuse(400, "A question has no body.")) : std::nullopt;
    if (from.empty()) return refuse(403, "What is sent must come from this server's page.");
    if (find_header(connection, "Content-Type").rfind("application/json", 0) != 0)
      return refuse(403, "What is sent must be application/json.");
    if (length.empty() || length.size() > 18 ||
        length.find_first_not_of("0123456789") != std::string::npos)
      return length.size() > 18 ? refuse(413, "What is sent is too large.")
                                : refuse(411, "What is sent must say its length.");
    if (std::stoull(length) > bounds.body_bytes)
      return refuse(413,
                    format("What is sent is too large; allowed are %zu bytes.", bounds.body_bytes));
    return std::nullopt;
  }

  MHD_Result access(MHD_Connection* connection, const char* method, const char* data,
                    std::size_t* size, Pending& pending) {
    if (!pending.has_begun) {
      pending.has_begun = true;
      is_named.wait();
      if (const auto refusal = find_refusal(connection, method, pending)) {
        give_time(connection, bounds.request_s);
        return send(connection, *refusal);
      }
      if (pending.request.method == "POST") return MHD_YES;  // its body comes next
    }
    if (*size > 0) {
      if (pending.request.body.size() + *size > bounds.body_bytes) return MHD_NO;
      pending.request.body.append(data, *size);
      *size = 0;
      return MHD_YES;
    }
    HttpResponse response;
    try {
      response = answer(pending.request);
    } catch (const std::exception&) {
      response = refuse(500, "Something failed here.");
    }
    give_time(connection, sending_s);
    return send(connection, response);
  }
};

HttpServer::HttpServer(const HttpAddress& address, const HttpBounds& bounds, Answer answer)
    : inside_(std::make_unique<Inside>(bounds, std::move(answer))) {
  const auto socket_address = read_address(address);
  if (!socket_address)
    throw std::runtime_error("'" + address.host + "' is no address of this machine");
  allow_many_files();
  Inside* inside = inside_.get();

  const auto on_uri = +[](void*, const char* uri, MHD_Connection*) -> void* {
    auto* pending = new Pending;
    pending->uri = uri;
    return pending;
  };
  const auto on_access =
      +[](void* self, MHD_Connection* connection, const char*, const char* method, const char*,
          const char* data, std::size_t* size, void** context) -> MHD_Result {
    return static_cast<Inside*>(self)->access(connection, method, data, size,
                                              *static_cast<Pending*>(*context));
  };
  const auto on_completed = +[](void* self, MHD_Connection* connection, void** context,
                                MHD_RequestTerminationCode) {
    delete static_cast<Pending*>(*context);
    *context = nullptr;
    static_cast<Inside*>(self)->give_time(connection, static_cast<Inside*>(self)->bounds.request_s);
  };
  const auto on_connection = +[](void* self, MHD_Connection* connection, void** context,
                                 MHD_ConnectionNotificationCode code) {
    static_cast<Inside*>(self)->note(connection, context, code == MHD_CONNECTION_NOTIFY_STARTED);
  };
  // What comes is decoded by us, strictly; the library leaves it alone.
  const auto leave = +[](void*, MHD_Connection*, char* text) { return std::strlen(text); };

  unsigned flags = MHD_USE_EPOLL_INTERNAL_THREAD;
  if (socket_address->any.sa_family == AF_INET6) flags |= MHD_USE_IPv6;
  inside->daemon = MHD_start_daemon(
      flags, 0, nullptr, nullptr, on_access, inside, MHD_OPTION_SOCK_ADDR, &socket_address->any,
      MHD_OPTION_URI_LOG_CALLBACK, on_uri, nullptr, MHD_OPTION_NOTIFY_COMPLETED, on_completed,
      inside, MHD_OPTION_NOTIFY_CONNECTION, on_connection, inside, MHD_OPTION_UNESCAPE_CALLBACK,
      leave, nullptr, MHD_OPTION_CONNECTION_LIMIT, static_cast<unsigned>(bounds.connections),
      MHD_OPTION_PER_IP_CONNECTION_LIMIT, static_cast<unsigned>(bounds.connections_each),
      MHD_OPTION_CONNECTION_TIMEOUT, static_cast<unsigned>(bounds.idle_s),
      MHD_OPTION_CONNECTION_MEMORY_LIMIT, memory_each, MHD_OPTION_STRICT_FOR_CLIENT, 1,
      MHD_OPTION_END);
  const bool is_six = socket_address->any.sa_family == AF_INET6;
  const std::string host = is_six ? "[" + address.host + "]" : address.host;
  if (inside->daemon == nullptr)
    throw std::runtime_error(
        address.port == 0
            ? "this machine does not listen on " + host
            : format("this machine does not listen on %s, port %d: the address is not its own, or "
                     "the port is taken",
                     host.c_str(), address.port));
  inside->port = MHD_get_daemon_info(inside->daemon, MHD_DAEMON_INFO_BIND_PORT)->port;
  const auto allow = [&](const std::string& name) {
    const std::string with_port = name + format(":%d", inside->port);
    for (const std::string& shown :
         inside->port == 80 ? std::vector{with_port, name} : std::vector{with_port}) {
      inside->hosts.insert(shown);
      inside->origins.insert("http://" + shown);
    }
    return "http://" + with_port;
  };
  inside->origin = allow(host);
  if (is_loopback(*socket_address)) allow("localhost");
  inside->named.set_value();
  inside->watch = std::thread([inside] { inside->watch_deadlines(); });
}

HttpServer::~HttpServer() {
  if (inside_->daemon != nullptr) MHD_stop_daemon(inside_->daemon);
  {
    const std::lock_guard<std::mutex> lock(inside_->mutex);
    inside_->ends = true;
  }
  inside_->is_over.notify_all();
  if (inside_->watch.joinable()) inside_->watch.join();
}

int HttpServer::port() const { return inside_->port; }
std::string HttpServer::origin() const { return inside_->origin; }

}  // namespace sixtyfold
