// The server against clients that send what no browser would. Status codes by RFC 9110 and 6585.
#include "tools/served/http_server.h"

#include <atomic>
#include <catch2/catch.hpp>
#include <chrono>
#include <deque>
#include <string>
#include <thread>

#include "tests/support/http_client.h"

using namespace sixtyfold;

namespace {

HttpResponse echo(const HttpRequest& request) {
  HttpResponse response;
  response.body = request.method;
  for (const std::string& step : request.path) response.body += " " + step;
  for (const auto& [key, value] : request.query) response.body += " " + key + "=" + value;
  response.body += " " + request.body;
  if (request.path.front() == "fail") throw std::runtime_error("a secret of the inside");
  return response;
}

HttpServer make_server(HttpBounds bounds = {}) {
  return HttpServer({"127.0.0.1", 0}, bounds, echo);
}

std::string host_line(int port) { return "Host: 127.0.0.1:" + std::to_string(port) + "\r\n"; }

int send_and_find_status(int port, const std::string& bytes) {
  RawConnection connection(port);
  connection.send(bytes);
  return find_status(connection.read_answer());
}

}  // namespace

TEST_CASE("a question and a sending are answered, with their rules", "[served]") {
  const HttpServer server = make_server();
  const int port = server.port();
  CHECK(server.origin() == "http://127.0.0.1:" + std::to_string(port));
  const std::string answer = ask(port, "/a%20b/c?x=1&y=%C3%A9+z&x=2");
  CHECK(find_status(answer) == 200);
  CHECK(find_body(answer) == "GET a b c x=2 y=\xC3\xA9 z ");
  for (const char* const line :
       {"Content-Security-Policy: default-src 'none'", "X-Content-Type-Options: nosniff",
        "X-Frame-Options: DENY", "Referrer-Policy: no-referrer", "Cache-Control: no-store"})
    CHECK(answer.find(line) != std::string::npos);
  CHECK(find_body(post(port, "/vote", "{\"a\":1}")) == "POST vote {\"a\":1}");
  CHECK(find_status(ask(port, "/a", "Origin: http://localhost:" + std::to_string(port) + "\r\n")) ==
        200);
}

TEST_CASE("what the inside throws is not told outside", "[served]") {
  const HttpServer server = make_server();
  const std::string answer = ask(server.port(), "/fail");
  CHECK(find_status(answer) == 500);
  CHECK(answer.find("secret") == std::string::npos);
}

TEST_CASE("foreign hosts, foreign pages, forms and odd methods are refused", "[served]") {
  const HttpServer server = make_server();
  const int port = server.port();
  const std::string host = host_line(port), own = "Origin: " + server.origin() + "\r\n",
                    json = "Content-Type: application/json\r\n",
                    body = "Content-Length: 2\r\n\r\n{}";
  const auto status = [&](const std::string& bytes) { return send_and_find_status(port, bytes); };
  CHECK(status("GET / HTTP/1.1\r\nHost: example.org\r\n\r\n") == 421);
  CHECK(status("GET / HTTP/1.1\r\nHost: 127.0.0.1\r\n\r\n") == 421);  // another port
  CHECK(status("GET / HTTP/1.1\r\n\r\n") == 400);
  CHECK(status("GET / HTTP/1.1\r\n" + host + "Origin: http://example.org\r\n\r\n") == 403);
  CHECK(status("GET / HTTP/1.1\r\n" + host + "Origin: null\r\n\r\n") == 403);
  CHECK(status("POST / HTTP/1.1\r\n" + host + json + body) == 403);  // from no page
  CHECK(status("POST / HTTP/1.1\r\n" + host + own + "Content-Type: text/plain\r\n" + body) == 403);
  CHECK(status("POST / HTTP/1.1\r\n" + host + own + json + body) == 200);
  CHECK(status("DELETE / HTTP/1.1\r\n" + host + "\r\n") == 405);
  CHECK(status("OPTIONS / HTTP/1.1\r\n" + host + "\r\n") == 405);
}

TEST_CASE("no way out of the paths", "[served]") {
  const HttpServer server = make_server();
  for (const char* const path :
       {"/..", "/../etc/passwd", "/a/../b", "/a/./b", "/%2e%2e/x", "/%2E./x", "/a%2fb", "/a%5cb",
        "/a\\b", "/a//b", "/a%00b", "/a%0ab", "/a%zz", "/a%2", "/%ff%fe", "*", "a"}) {
    CAPTURE(path);
    CHECK(find_status(ask(server.port(), path)) == 400);
  }
  CHECK(find_status(ask(server.port(), "/" + std::string(5000, 'a'))) == 400);
  CHECK(find_status(ask(server.port(), "/" + std::string(100000, 'a'))) >= 400);
}

TEST_CASE("bodies are bounded before they are read", "[served]") {
  const HttpServer server = make_server();
  const int port = server.port();
  const std::string head = "POST / HTTP/1.1\r\n" + host_line(port) + "Origin: " + server.origin() +
                           "\r\nContent-Type: application/json\r\n";
  const auto status = [&](const std::string& bytes) { return send_and_find_status(port, bytes); };
  CHECK(status(head + "Content-Length: 65537\r\n\r\n") == 413);
  CHECK(status(head + "Content-Length: 99999999999999999999999\r\n\r\n") >= 400);
  CHECK(status(head + "Content-Length: -1\r\n\r\n") >= 400);
  CHECK(status(head + "Transfer-Encoding: chunked\r\n\r\n2\r\n{}\r\n0\r\n\r\n") == 411);
  CHECK(status("GET / HTTP/1.1\r\n" + host_line(port) + "Content-Length: 2\r\n\r\n{}") == 400);
  CHECK(find_body(post(port, "/", std::string(65536, 'x'))).size() == 65536 + 6);

  // A hundred megabytes that are sent all the same: the connection ends, the server does not.
  RawConnection flood(port);
  flood.send(head + "Content-Length: 104857600\r\n\r\n");
  const std::string megabyte(1 << 20, 'x');
  int sent = 0;
  while (sent < 100 && flood.send(megabyte)) ++sent;
  CHECK(sent < 100);
  CHECK(find_status(ask(port, "/")) == 200);
}

TEST_CASE("a thousand open connections and half-sent requests keep nobody out", "[served]") {
  HttpBounds bounds;
  bounds.request_s = 2;
  bounds.answered_each = 2000;
  const HttpServer server = make_server(bounds);
  const int port = server.port();
  std::deque<RawConnection> open;
  for (int i = 0; i < 1000; ++i) {
    open.emplace_back(port);
    REQUIRE(open.back().is_open());
    if (i % 2 == 1) open.back().send("GET / HTTP/1.1\r\nHo");
  }
  CHECK(find_status(ask(port, "/")) == 200);
  // One that sends a letter at a time is ended, too, though something always comes.
  RawConnection drip(port);
  const auto begun = std::chrono::steady_clock::now();
  while (drip.send("x") && !drip.is_closed_within(0.1))
    if (std::chrono::steady_clock::now() - begun > std::chrono::seconds(30)) break;
  const auto took = std::chrono::steady_clock::now() - begun;
  CHECK(took < std::chrono::seconds(20));
  CHECK(open.front().is_closed_within(5));
  CHECK(find_status(ask(port, "/")) == 200);
}

TEST_CASE("a client with too many connections, or that asks too often, is told so", "[served]") {
  HttpBounds bounds;
  bounds.answered_each = 5;
  bounds.requests_per_s = 0.001;
  bounds.requests_at_once = 3;
  const HttpServer server = make_server(bounds);
  for (int i = 0; i < 3; ++i) CHECK(find_status(ask(server.port(), "/")) == 200);
  CHECK(find_status(ask(server.port(), "/")) == 429);
  std::deque<RawConnection> open;
  for (int i = 0; i < 10; ++i) open.emplace_back(server.port());
  for (int tries = 0; tries < 50 && find_status(ask(server.port(), "/")) != 503; ++tries)
    std::this_thread::sleep_for(std::chrono::milliseconds(20));
  CHECK(find_status(ask(server.port(), "/")) == 503);
}

TEST_CASE("a port that is taken and an address that is not ours are told", "[served]") {
  const HttpServer server = make_server();
  CHECK_THROWS_WITH(HttpServer({"127.0.0.1", server.port()}, {}, echo),
                    Catch::Contains("the port is taken"));
  CHECK_THROWS_WITH(HttpServer({"192.0.2.1", 0}, {}, echo), Catch::Contains("does not listen"));
  CHECK_THROWS_WITH(HttpServer({"hall", 0}, {}, echo), Catch::Contains("no address"));
}

TEST_CASE("answers come one at a time, and none after the end", "[served]") {
  std::atomic<int> inside{0}, most{0}, answered{0};
  {
    const HttpServer server({"127.0.0.1", 0}, {}, [&](const HttpRequest&) {
      const int now = ++inside;
      most = std::max(most.load(), now);
      std::this_thread::sleep_for(std::chrono::milliseconds(2));
      --inside;
      ++answered;
      return HttpResponse{};
    });
    std::vector<std::thread> clients;
    for (int i = 0; i < 20; ++i) clients.emplace_back([port = server.port()] { ask(port, "/"); });
    for (std::thread& client : clients) client.join();
  }
  CHECK(answered == 20);
  CHECK(most == 1);
}
