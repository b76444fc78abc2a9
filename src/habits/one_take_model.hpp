// One take as a model to choose from.
#pragma once
#include "forward_selection.hpp"

namespace firmus::habits {

class OneTakeModel : public SelectionModel {
 public:
  explicit OneTakeModel(const NoteSeries& series) : model_(whiten(series)) {}
  std::vector<std::optional<GroupTest>> tests(std::span<const std::size_t> chosen) const override;
  std::optional<EffectEstimate> effect(std::span<const std::size_t> chosen, std::size_t group) const override {
    return model_.effect(chosen, group);
  }
  double cosine(std::size_t a, std::size_t b) const override { return model_.cosine(a, b); }
  const SeriesRegression& series() const { return model_; }

 private:
  SeriesRegression model_;
};

}  // namespace firmus::habits
