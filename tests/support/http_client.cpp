#include "tests/support/http_client.h"

#include <arpa/inet.h>
#include <netinet/in.h>
#include <poll.h>
#include <sys/socket.h>
#include <unistd.h>

#include <cstdlib>

namespace sixtyfold {

namespace {
constexpr int patience_ms = 10000;
}

RawConnection::RawConnection(int port) {
  socket_ = socket(AF_INET, SOCK_STREAM | SOCK_CLOEXEC, 0);
  sockaddr_in address{};
  address.sin_family = AF_INET;
  address.sin_port = htons(static_cast<std::uint16_t>(port));
  address.sin_addr.s_addr = htonl(INADDR_LOOPBACK);
  if (socket_ >= 0 &&
      connect(socket_, reinterpret_cast<const sockaddr*>(&address), sizeof address) != 0) {
    close(socket_);
    socket_ = -1;
  }
}

RawConnection::~RawConnection() {
  if (socket_ >= 0) close(socket_);
}

bool RawConnection::send(const std::string& bytes) {
  for (std::size_t sent = 0; sent < bytes.size();) {
    const ssize_t got = ::send(socket_, bytes.data() + sent, bytes.size() - sent, MSG_NOSIGNAL);
    if (got <= 0) return false;
    sent += static_cast<std::size_t>(got);
  }
  return true;
}

std::string RawConnection::read_answer() {
  std::string answer;
  char buffer[65536];
  for (;;) {
    const std::size_t head = answer.find("\r\n\r\n");
    if (head != std::string::npos) {
      const std::size_t length = answer.find("Content-Length: ");
      if (length < head &&
          answer.size() >= head + 4 + std::strtoul(&answer[length + 16], nullptr, 10))
        return answer;
    }
    pollfd waiting{socket_, POLLIN, 0};
    if (poll(&waiting, 1, patience_ms) <= 0) return answer;
    const ssize_t got = recv(socket_, buffer, sizeof buffer, 0);
    if (got <= 0) return answer;
    answer.append(buffer, static_cast<std::size_t>(got));
  }
}

bool RawConnection::is_closed_within(double seconds) {
  char buffer[4096];
  for (;;) {
    pollfd waiting{socket_, POLLIN, 0};
    if (poll(&waiting, 1, static_cast<int>(seconds * 1000)) <= 0) return false;
    if (recv(socket_, buffer, sizeof buffer, 0) <= 0) return true;
  }
}

int find_status(const std::string& answer) {
  return answer.rfind("HTTP/1.1 ", 0) == 0 ? std::atoi(answer.c_str() + 9) : 0;
}

std::string find_body(const std::string& answer) {
  const std::size_t head = answer.find("\r\n\r\n");
  return head == std::string::npos ? "" : answer.substr(head + 4);
}

std::string ask(int port, const std::string& path, const std::string& headers) {
  RawConnection connection(port);
  connection.send("GET " + path + " HTTP/1.1\r\nHost: 127.0.0.1:" + std::to_string(port) + "\r\n" +
                  headers + "\r\n");
  return connection.read_answer();
}

std::string post(int port, const std::string& path, const std::string& json) {
  const std::string host = "127.0.0.1:" + std::to_string(port);
  RawConnection connection(port);
  connection.send("POST " + path + " HTTP/1.1\r\nHost: " + host + "\r\nOrigin: http://" + host +
                  "\r\nContent-Type: application/json\r\nContent-Length: " +
                  std::to_string(json.size()) + "\r\n\r\n" + json);
  return connection.read_answer();
}

}  // namespace sixtyfold
