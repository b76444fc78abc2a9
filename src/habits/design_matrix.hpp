// The few columns of a regression, and least squares on them by an orthonormal basis.
#pragma once
#include <cstddef>
#include <optional>
#include <span>
#include <vector>

namespace firmus::habits {

using Column = std::vector<double>;

double dot(std::span<const double> a, std::span<const double> b);

/// Orthonormal basis of columns (modified Gram-Schmidt, each column twice) with R, so that A = Q R.
class QrFactorization {
 public:
  /// Adds a column; false, and nothing added, when it hangs on the others.
  bool add(const Column& column);
  std::size_t size() const { return q_.size(); }
  /// What is left of `column` when its part in the basis is taken away.
  Column without_projection(Column column) const;
  /// Coefficients of the columns added that come nearest to `y`.
  std::vector<double> solve(const Column& y) const;
  /// Diagonal of (A'A)^-1.
  std::vector<double> inverse_diagonal() const;

 private:
  std::vector<Column> q_;
  std::vector<std::vector<double>> r_;  ///< by column: r_[j][i], i <= j
};

/// The columns, without those that hang on the ones before them; `kept` tells which.
std::vector<Column> drop_collinear(const std::vector<Column>& columns, std::vector<bool>* kept = nullptr);

}  // namespace firmus::habits
