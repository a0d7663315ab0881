#pragma once
// What a checkpoint is made of: values written to, or read back from, one string of bytes by the
// same function, so that storing and restoring can not disagree.

#include <cstdint>
#include <stdexcept>
#include <string>
#include <type_traits>
#include <vector>

namespace sixtyfold {

/// Promises: doubles come back to the last bit; a truncated or foreign string throws
/// std::invalid_argument and never reads outside it. Little-endian machines only.
class State {
 public:
  State() = default;                                                               ///< for writing
  explicit State(std::string bytes) : bytes_(std::move(bytes)), reading_(true) {}  ///< for reading

  bool reading() const { return reading_; }
  const std::string& bytes() const { return bytes_; }
  bool at_end() const { return position_ == bytes_.size(); }

  void exchange(bool& value) {
    char byte = value ? 1 : 0;
    exchange(byte);
    if (byte != 0 && byte != 1)
      throw std::invalid_argument("the checkpoint is damaged: yes or no is needed");
    value = byte == 1;
  }
  template <class T>
  requires((std::is_arithmetic_v<T> && !std::is_same_v<T, bool>) ||
           std::is_enum_v<T>) void exchange(T& value) {
    move_bytes(reinterpret_cast<char*>(&value), sizeof(T));
  }
  void exchange(std::string& text) {
    exchange_all(
        text, [this](char& c) { exchange(c); }, 1);
  }
  template <class T>
  void exchange(std::vector<T>& values) {
    exchange_all(
        values, [this](T& value) { exchange(value); }, 1);
  }
  /// Anything with a member `void exchange(State&)`.
  template <class T>
  requires requires(T& value, State& state) { value.exchange(state); }
  void exchange(T& value) { value.exchange(*this); }

 private:
  template <class Sequence, class Each>
  void exchange_all(Sequence& values, Each each, std::uint64_t least_bytes_each) {
    std::uint64_t count = values.size();
    exchange(count);
    if (reading_) {
      if (count > (bytes_.size() - position_) / least_bytes_each)
        throw std::invalid_argument("the checkpoint is damaged: a list is longer than the file");
      values.resize(count);
    }
    for (auto& value : values) each(value);
  }
  void move_bytes(char* value, std::size_t count) {
    if (!reading_) {
      bytes_.append(value, count);
      return;
    }
    if (count > bytes_.size() - position_)
      throw std::invalid_argument("the checkpoint is damaged: it ends too early");
    bytes_.copy(value, count, position_);
    position_ += count;
  }

  std::string bytes_;
  std::size_t position_ = 0;
  bool reading_ = false;
};

}  // namespace sixtyfold
