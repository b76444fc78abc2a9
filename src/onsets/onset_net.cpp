#include "onset_net.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <charconv>
#include <cmath>
#include <fstream>
#include <sstream>

#include "fast_math.hpp"
#include "firmus/error.hpp"
#include "onsets/onsets.hpp"

namespace firmus::onsets {
namespace {

constexpr std::string_view format_name = "firmus-onset-net";
constexpr int most_hidden = 4096;  // a multiple of 8

constexpr char built_in_text[] =
#include "onset_weights.inc"
    ;

[[noreturn]] void reject(const std::string& file, std::string what) {
  throw InputError(Problem{{file, 0, 0}, std::move(what), "give a file that firmus-fit wrote"});
}

/// Adds the weighted inputs of `group` times eight units at once; their sums stay in registers.
template <int group>
FIRMUS_INLINE void sum_units(const float* inputs, const float* into, int padded, float* sums) {
  float8 sum[group];
  for (int g = 0; g < group; ++g) load(sums + g * lanes, sum[g]);
  for (int i = 0; i < net_inputs; ++i, into += padded) {
    const float8 input = float8{} + inputs[i];
    for (int g = 0; g < group; ++g) {
      float8 weight;
      load(into + g * lanes, weight);
      sum[g] += input * weight;
    }
  }
  for (int g = 0; g < group; ++g) store(sum[g], sums + g * lanes);
}

/// Adds the weighted inputs to `sums`, which hold the biases, and applies tanh.
FIRMUS_MULTIVERSION void run_units(const float* inputs, const float* into, int padded, float* sums) {
  constexpr int many = 6, few = 2;
  int unit = 0;
  for (; unit + many * lanes <= padded; unit += many * lanes) sum_units<many>(inputs, into + unit, padded, sums + unit);
  for (; unit + few * lanes <= padded; unit += few * lanes) sum_units<few>(inputs, into + unit, padded, sums + unit);
  for (; unit < padded; unit += lanes) sum_units<1>(inputs, into + unit, padded, sums + unit);
  for (unit = 0; unit < padded; unit += lanes) {
    float8 sum, active;
    load(sums + unit, sum);
    tanh_of(sum, active);
    store(active, sums + unit);
  }
}

FIRMUS_MULTIVERSION float dot(const float* a, const float* b, int count) {
  float8 sum{};
  for (int i = 0; i < count; i += lanes) add_product(a + i, b + i, sum);
  return total(sum);
}

}  // namespace

OnsetNet parse_onset_net(std::string_view text, const std::string& file) {
  std::istringstream lines{std::string(text)};
  lines.imbue(std::locale::classic());
  std::string name, line;
  int version = 0, inputs = 0, hidden = 0;
  if (!(lines >> name >> version >> inputs >> hidden) || name != format_name || version != 1)
    reject(file, "is not a file of onset weights");
  if (inputs != net_inputs || hidden < 1 || hidden > most_hidden)
    reject(file,
           fmt::format("has {} inputs and {} units, and this version needs {} inputs", inputs, hidden, net_inputs));
  std::vector<float> weights;
  while (std::getline(lines, line)) {
    if (line.empty() || line[0] == '#') continue;
    const char* at = line.data();
    const char* const end = at + line.size();
    while (at < end) {
      if (*at == ' ') {
        ++at;
        continue;
      }
      float value = 0;
      const auto [next, error] = std::from_chars(at, end, value);
      if (error != std::errc() || !std::isfinite(value))
        reject(file, fmt::format("has a weight that is not a number: \"{}\"", line));
      weights.push_back(value);
      at = next;
    }
  }
  if (weights.size() != OnsetNet::weight_count(hidden))
    reject(file, fmt::format("has {} weights instead of {}", weights.size(), OnsetNet::weight_count(hidden)));
  return {hidden, weights};
}

std::string onset_net_as_text(int hidden, std::span<const float> weights, std::string_view provenance) {
  std::string text = fmt::format("{} 1 {} {}\n# {}\n", format_name, net_inputs, hidden, provenance);
  for (std::size_t i = 0; i < weights.size(); ++i) {
    text += fmt::format("{:.4g}", weights[i]);
    text += (i + 1) % 16 == 0 || i + 1 == weights.size() ? '\n' : ' ';
  }
  return text;
}

}  // namespace firmus::onsets

namespace firmus {

OnsetNet::OnsetNet(int hidden, std::span<const float> weights)
    : hidden_(hidden),
      padded_((hidden + lanes - 1) / lanes * lanes),
      into_(static_cast<std::size_t>(onsets::net_inputs * padded_)),
      bias_(static_cast<std::size_t>(padded_)),
      to_onset_(bias_.size()),
      to_offset_(bias_.size()) {
  const auto inputs = static_cast<std::size_t>(onsets::net_inputs), units = static_cast<std::size_t>(hidden);
  for (std::size_t h = 0; h < units; ++h) {
    const std::span<const float> unit = weights.subspan(h * (inputs + 1), inputs + 1);
    for (std::size_t i = 0; i < inputs; ++i) into_[i * bias_.size() + h] = unit[i];
    bias_[h] = unit[inputs];
  }
  const std::span<const float> outputs = weights.subspan(units * (inputs + 1));
  std::copy_n(outputs.begin(), hidden, to_onset_.begin());
  std::copy_n(outputs.begin() + hidden + 1, hidden, to_offset_.begin());
  onset_bias_ = outputs[units];
  offset_bias_ = outputs[2 * units + 1];
}

OnsetNet::Logits OnsetNet::operator()(std::span<const float, onsets::net_inputs> inputs) const {
  std::array<float, onsets::most_hidden> units;
  std::copy(bias_.begin(), bias_.end(), units.begin());
  onsets::run_units(inputs.data(), into_.data(), padded_, units.data());
  return {onset_bias_ + onsets::dot(units.data(), to_onset_.data(), padded_),
          offset_bias_ + onsets::dot(units.data(), to_offset_.data(), padded_)};
}

std::shared_ptr<const OnsetNet> default_onset_net() {
  static const auto net =
      std::make_shared<const OnsetNet>(onsets::parse_onset_net(onsets::built_in_text, "built-in onset weights"));
  return net;
}

std::shared_ptr<const OnsetNet> read_onset_net(const std::string& path) {
  std::ifstream in(path, std::ios::binary);
  std::ostringstream content;
  if (!in || !(content << in.rdbuf())) onsets::reject(path, "cannot be read");
  return std::make_shared<const OnsetNet>(onsets::parse_onset_net(content.str(), path));
}

}  // namespace firmus
