// The selection model of a single take: one regression of its notes.
#pragma once
#include "forward_selection.hpp"

namespace firmus::habits {

class OneTakeModel : public SelectionModel {
 public:
  explicit OneTakeModel(const NoteSeries& series) : regression_(whiten(series)) {}
  std::vector<std::optional<GroupTest>> tests(std::span<const std::size_t> selected) const override;
  std::optional<EffectEstimate> effect(std::span<const std::size_t> selected, std::size_t group) const override {
    return regression_.effect(selected, group);
  }
  double cosine(std::size_t a, std::size_t b) const override { return regression_.cosine(a, b); }
  const SeriesRegression& regression() const { return regression_; }

 private:
  SeriesRegression regression_;
};

}  // namespace firmus::habits
