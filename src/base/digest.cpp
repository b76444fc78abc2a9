#include <openssl/evp.h>

#include <array>
#include <cerrno>
#include <cstdio>
#include <memory>
#include <system_error>

#include "base/base.hpp"

namespace firmus {
namespace {

class Sha256 {
 public:
  Sha256() : context_(EVP_MD_CTX_new(), &EVP_MD_CTX_free) { EVP_DigestInit_ex(context_.get(), EVP_sha256(), nullptr); }
  void add(const void* bytes, std::size_t count) { EVP_DigestUpdate(context_.get(), bytes, count); }
  std::string hex() {
    std::array<unsigned char, EVP_MAX_MD_SIZE> digest{};
    unsigned int length = 0;
    EVP_DigestFinal_ex(context_.get(), digest.data(), &length);
    std::string text;
    for (unsigned int i = 0; i < length; ++i) {
      constexpr char digits[] = "0123456789abcdef";
      text += digits[digest[i] >> 4];
      text += digits[digest[i] & 15];
    }
    return text;
  }

 private:
  std::unique_ptr<EVP_MD_CTX, decltype(&EVP_MD_CTX_free)> context_;
};

}  // namespace

std::string sha256_hex(std::string_view bytes) {
  Sha256 hash;
  hash.add(bytes.data(), bytes.size());
  return hash.hex();
}

std::string sha256_hex_of_file(const std::string& path) {
  const std::unique_ptr<std::FILE, int (*)(std::FILE*)> file(std::fopen(path.c_str(), "rb"), &std::fclose);
  if (!file) throw std::system_error(errno, std::generic_category(), path);
  Sha256 hash;
  std::array<char, 1 << 16> block{};
  while (const std::size_t count = std::fread(block.data(), 1, block.size(), file.get())) hash.add(block.data(), count);
  if (std::ferror(file.get())) throw std::system_error(errno, std::generic_category(), path);
  return hash.hex();
}

}  // namespace firmus
