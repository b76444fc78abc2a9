#include "onset_net.hpp"

#include <fmt/format.h>

#include <charconv>
#include <cmath>
#include <fstream>
#include <sstream>

#include "firmus/error.hpp"
#include "firmus/evidence.hpp"

namespace firmus {
namespace {

constexpr std::string_view format_name = "firmus-onset-net";
constexpr int most_hidden = 4096;

constexpr char built_in_text[] =
#include "onset_weights.inc"
    ;

[[noreturn]] void refuse(const std::string& file, std::string what) {
  throw InputError(Problem{{file, 0, 0}, std::move(what), "give a file that firmus-fit wrote"});
}

float dot(const float* a, const float* b, int count) {
  float sum = 0;
#pragma omp simd reduction(+ : sum)
  for (int i = 0; i < count; ++i) sum += a[i] * b[i];
  return sum;
}

}  // namespace

OnsetNet::OnsetNet(int hidden, std::vector<float> weights) : hidden_(hidden), weights_(std::move(weights)) {}

OnsetNet::Logits OnsetNet::operator()(std::span<const float, net_inputs> inputs) const {
  const float* unit = weights_.data();
  const float* to_onset = weights_.data() + static_cast<std::ptrdiff_t>(hidden_) * (net_inputs + 1);
  const float* to_offset = to_onset + hidden_ + 1;
  Logits out{to_onset[hidden_], to_offset[hidden_]};
  for (int h = 0; h < hidden_; ++h, unit += net_inputs + 1) {
    const float active = std::tanh(dot(unit, inputs.data(), net_inputs) + unit[net_inputs]);
    out.onset += to_onset[h] * active;
    out.offset += to_offset[h] * active;
  }
  return out;
}

OnsetNet parse_onset_net(std::string_view text, const std::string& file) {
  std::istringstream lines{std::string(text)};
  lines.imbue(std::locale::classic());
  std::string name, line;
  int version = 0, inputs = 0, hidden = 0;
  if (!(lines >> name >> version >> inputs >> hidden) || name != format_name || version != 1)
    refuse(file, "is no file of onset weights");
  if (inputs != net_inputs || hidden < 1 || hidden > most_hidden)
    refuse(file,
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
        refuse(file, fmt::format("has a weight that is no number: \"{}\"", line));
      weights.push_back(value);
      at = next;
    }
  }
  if (weights.size() != OnsetNet::weight_count(hidden))
    refuse(file, fmt::format("has {} weights instead of {}", weights.size(), OnsetNet::weight_count(hidden)));
  return {hidden, std::move(weights)};
}

std::string onset_net_as_text(int hidden, std::span<const float> weights, std::string_view provenance) {
  std::string text = fmt::format("{} 1 {} {}\n# {}\n", format_name, net_inputs, hidden, provenance);
  for (std::size_t i = 0; i < weights.size(); ++i) {
    text += fmt::format("{:.4g}", weights[i]);
    text += (i + 1) % 16 == 0 || i + 1 == weights.size() ? '\n' : ' ';
  }
  return text;
}

std::shared_ptr<const OnsetNet> default_onset_net() {
  static const auto net = std::make_shared<const OnsetNet>(parse_onset_net(built_in_text, "built-in onset weights"));
  return net;
}

std::shared_ptr<const OnsetNet> read_onset_net(const std::string& path) {
  std::ifstream in(path, std::ios::binary);
  std::ostringstream content;
  if (!in || !(content << in.rdbuf())) refuse(path, "cannot be read");
  return std::make_shared<const OnsetNet>(parse_onset_net(content.str(), path));
}

}  // namespace firmus
