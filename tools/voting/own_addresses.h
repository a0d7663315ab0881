#pragma once
// Which addresses this machine has.

#include <string>
#include <vector>

namespace sixtyfold {

struct OwnAddress {
  std::string address;    ///< IPv4, as numbers
  std::string interface;  ///< what the system calls it
};

/// Whether it is one of a local network's: 10/8, 172.16/12, 192.168/16 (RFC 1918) or 169.254/16
/// (RFC 3927).
bool is_private_address(const std::string& address);
/// 127/8.
bool is_loopback_address(const std::string& address);

/// Those that are up, by number; loopback included.
std::vector<OwnAddress> find_own_addresses();

/// The address to listen on: the one that was asked for, else the one private address there is.
/// Throws std::invalid_argument with one sentence that lists what there is.
std::string choose_address(const std::string& asked, const std::vector<OwnAddress>& own);

}  // namespace sixtyfold
