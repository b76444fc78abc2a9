#include "design_matrix.hpp"

#include <cmath>

namespace firmus::habits {

double dot(std::span<const double> a, std::span<const double> b) {
  double sum = 0;
  for (std::size_t i = 0; i < a.size(); ++i) sum += a[i] * b[i];
  return sum;
}

bool QrFactorization::add(const Column& column) {
  constexpr double negligible_share = 1e-10;  // of the squared length: what rounding leaves of a dependent column
  Column rest = column;
  std::vector<double> parts(q_.size() + 1, 0.0);
  for (int round = 0; round < 2; ++round)
    for (std::size_t i = 0; i < q_.size(); ++i) {
      const double part = dot(q_[i], rest);
      parts[i] += part;
      for (std::size_t k = 0; k < rest.size(); ++k) rest[k] -= part * q_[i][k];
    }
  const double squared = dot(rest, rest);
  if (squared <= negligible_share * dot(column, column) || squared == 0) return false;
  parts.back() = std::sqrt(squared);
  for (double& value : rest) value /= parts.back();
  q_.push_back(std::move(rest));
  r_.push_back(std::move(parts));
  return true;
}

Column QrFactorization::without_projection(Column column) const {
  for (int round = 0; round < 2; ++round)
    for (const Column& q : q_) {
      const double part = dot(q, column);
      for (std::size_t k = 0; k < column.size(); ++k) column[k] -= part * q[k];
    }
  return column;
}

std::vector<double> QrFactorization::solve(const Column& y) const {
  std::vector<double> beta(size());
  for (std::size_t i = 0; i < size(); ++i) beta[i] = dot(q_[i], y);
  for (std::size_t i = size(); i-- > 0;) {
    for (std::size_t j = i + 1; j < size(); ++j) beta[i] -= r_[j][i] * beta[j];
    beta[i] /= r_[i][i];
  }
  return beta;
}

std::vector<double> QrFactorization::inverse_diagonal() const {
  // The columns of R^-1 one by one; the diagonal is the sum of squares along its rows.
  std::vector<double> diagonal(size(), 0.0);
  for (std::size_t last = 0; last < size(); ++last) {
    std::vector<double> x(last + 1, 0.0);
    x[last] = 1 / r_[last][last];
    for (std::size_t i = last; i-- > 0;) {
      for (std::size_t j = i + 1; j <= last; ++j) x[i] -= r_[j][i] * x[j];
      x[i] /= r_[i][i];
    }
    for (std::size_t i = 0; i <= last; ++i) diagonal[i] += x[i] * x[i];
  }
  return diagonal;
}

DesignMatrix drop_collinear(const DesignMatrix& columns, std::vector<bool>* kept) {
  QrFactorization qr;
  DesignMatrix independent;
  if (kept) kept->clear();
  for (const Column& column : columns) {
    const bool added = qr.add(column);
    if (added) independent.push_back(column);
    if (kept) kept->push_back(added);
  }
  return independent;
}

}  // namespace firmus::habits
