// Dense symmetric matrices of a few dozen rows: all that the measured gaps need.
#pragma once

#include <vector>

namespace buckram::cap {

// Row-major n x n. In place: the inverse of a symmetric positive definite matrix, by Cholesky.
void invert_positive(std::vector<double>& a, int n);

struct Eigen {
  std::vector<double> values;   // largest first
  std::vector<double> vectors;  // column k belongs to values[k]; its entries sum to >= 0
};
// Cyclic Jacobi (Golub and Van Loan, Matrix Computations, section 8.5). O(n^3) a sweep.
Eigen symmetric_eigen(std::vector<double> a, int n);

}  // namespace buckram::cap
