// Least squares with few columns (about ten), by QR factorization. Own code rather than Eigen: columns are added one by
// one and dependent ones dropped in their order, and sums in another order could move a p-value across its threshold.
#pragma once
#include <cstddef>
#include <optional>
#include <span>
#include <vector>

namespace firmus::habits {

using Column = std::vector<double>;        ///< one value a row
using DesignMatrix = std::vector<Column>;  ///< columns of equal length

double dot(std::span<const double> a, std::span<const double> b);

/// Thin QR factorization, A = Q R, built column by column: modified Gram-Schmidt, each column orthogonalized twice
/// (Giraud and others 2005).
class QrFactorization {
 public:
  /// Adds a column. Returns false, and leaves the factorization unchanged, when the column is linearly dependent on
  /// those before it (squared remainder at most 1e-10 of its squared length).
  bool add(const Column& column);
  std::size_t size() const { return q_.size(); }
  /// The component of `column` orthogonal to all columns added (the residual of its least-squares fit).
  Column without_projection(Column column) const;
  /// Least-squares coefficients of the columns added, for the response `y`.
  std::vector<double> solve(const Column& y) const;
  /// Diagonal of (A'A)^-1: variances of the coefficients for errors of variance 1.
  std::vector<double> inverse_diagonal() const;

 private:
  std::vector<Column> q_;
  std::vector<std::vector<double>> r_;  ///< by column: r_[j][i], i <= j
};

/// The columns without those that are linearly dependent on the ones before them; `kept` tells which remain.
DesignMatrix drop_collinear(const DesignMatrix& columns, std::vector<bool>* kept = nullptr);

}  // namespace firmus::habits
