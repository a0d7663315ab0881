#pragma once
// A client that sends exactly the bytes it is given: what no well-behaved client would send, too.

#include <string>

namespace sixtyfold {

/// A connection to 127.0.0.1; closed with it. Waits at most ten seconds for anything.
class RawConnection {
 public:
  explicit RawConnection(int port);
  ~RawConnection();
  RawConnection(RawConnection&& other) noexcept : socket_(other.socket_) { other.socket_ = -1; }
  RawConnection(const RawConnection&) = delete;
  RawConnection& operator=(const RawConnection&) = delete;
  bool is_open() const { return socket_ >= 0; }
  /// False when the other side has closed.
  bool send(const std::string& bytes);
  /// One whole answer (by its Content-Length), or what came until the other side closed.
  std::string read_answer();
  /// Whether the other side closes within so many seconds.
  bool is_closed_within(double seconds);

 private:
  int socket_ = -1;
};

/// "200" of an answer's first line; 0 where there is none.
int find_status(const std::string& answer);
/// What stands behind the empty line.
std::string find_body(const std::string& answer);

/// Sent on a connection of its own. `headers` are whole lines, each with its end.
std::string ask(int port, const std::string& path, const std::string& headers = "");
/// A POST of JSON as a page of this server sends it.
std::string post(int port, const std::string& path, const std::string& json);

}  // namespace sixtyfold
