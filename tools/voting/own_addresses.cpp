#include "tools/voting/own_addresses.h"

#include <arpa/inet.h>
#include <ifaddrs.h>
#include <net/if.h>

#include <algorithm>
#include <cstdint>
#include <stdexcept>

#include "results/files/json_reader.h"

namespace sixtyfold {
namespace {

std::uint32_t read_address(const std::string& text) {
  in_addr address{};
  return ::inet_pton(AF_INET, text.c_str(), &address) == 1 ? ntohl(address.s_addr) : 0;
}

bool is_within(const std::string& text, std::uint32_t network, int bits) {
  return (read_address(text) >> (32 - bits)) == (network >> (32 - bits));
}

std::string list(const std::vector<OwnAddress>& addresses) {
  std::string text;
  for (const OwnAddress& own : addresses)
    text += (text.empty() ? "" : ", ") + own.address + " (" + own.interface + ")";
  return text;
}

}  // namespace

bool is_private_address(const std::string& address) {
  return is_within(address, 0x0a000000, 8) || is_within(address, 0xac100000, 12) ||
         is_within(address, 0xc0a80000, 16) || is_within(address, 0xa9fe0000, 16);
}

bool is_loopback_address(const std::string& address) { return is_within(address, 0x7f000000, 8); }

std::vector<OwnAddress> find_own_addresses() {
  std::vector<OwnAddress> found;
  ifaddrs* first = nullptr;
  if (::getifaddrs(&first) != 0) return found;
  for (const ifaddrs* at = first; at; at = at->ifa_next) {
    if (!at->ifa_addr || at->ifa_addr->sa_family != AF_INET || !(at->ifa_flags & IFF_UP)) continue;
    char text[INET_ADDRSTRLEN];
    const auto* address = reinterpret_cast<const sockaddr_in*>(at->ifa_addr);
    if (::inet_ntop(AF_INET, &address->sin_addr, text, sizeof text))
      found.push_back({text, at->ifa_name});
  }
  ::freeifaddrs(first);
  std::sort(found.begin(), found.end(), [](const OwnAddress& a, const OwnAddress& b) {
    return read_address(a.address) < read_address(b.address);
  });
  return found;
}

std::string choose_address(const std::string& asked, const std::vector<OwnAddress>& own) {
  const std::string all = own.empty() ? "it has none" : "it has " + list(own);
  if (!asked.empty()) {
    // All of 127/8 is this machine, whether the system lists it or not.
    const bool is_own = is_loopback_address(asked) ||
                        std::any_of(own.begin(), own.end(), [&](const OwnAddress& address) {
                          return address.address == asked;
                        });
    if (is_own) return asked;
    throw std::invalid_argument("--address is " + quote(asked) +
                                ", which is no address of this machine; " + all);
  }
  std::vector<OwnAddress> local;
  std::copy_if(own.begin(), own.end(), std::back_inserter(local),
               [](const OwnAddress& address) { return is_private_address(address.address); });
  if (local.size() == 1) return local[0].address;
  if (local.empty())
    throw std::invalid_argument("this machine has no address of a local network, " + all +
                                "; join the network the phones are in, or name one with --address");
  throw std::invalid_argument("this machine has several addresses, " + list(local) +
                              "; name the one the phones can reach with --address");
}

}  // namespace sixtyfold
