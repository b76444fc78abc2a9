#include "stems.hpp"

#include <fmt/format.h>

#include <filesystem>
#include <unordered_map>

#include "firmus/batch.hpp"

namespace firmus {

std::string batch::stem_of(const std::string& take) {
  return take == "-" ? "standard-input" : std::filesystem::path(take).stem().string();
}

void require_different_stems(const std::vector<std::string>& takes) {
  std::unordered_map<std::string, const std::string*> first;
  for (const std::string& take : takes) {
    const auto [at, is_new] = first.try_emplace(batch::stem_of(take), &take);
    if (!is_new)
      throw InputError(
          Problem{{},
                  fmt::format("\"{}\" and \"{}\" would both be written as {}.json", *at->second, take, at->first),
                  "rename one, or give each its own --out"});
    if (at->first == "written")
      throw InputError(Problem{{}, fmt::format("\"{}\" would be written over written.json", take), "rename it"});
  }
}

}  // namespace firmus
