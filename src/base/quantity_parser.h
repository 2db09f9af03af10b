// Sums, products, mixed numbers and compound units over the tokens of one quantity. Inside base/ only;
// callers use base/quantity.h. The grammar is in docs/quantities.md.
#pragma once

#include "base/quantity_lexer.h"

namespace halfround::base {

/// A value on its way through the grammar: bare as long as no unit has touched it.
struct Amount {
  double value = 0;             ///< bare: the number; else in mm, deg, N, kg
  double number = 0;            ///< direct: the number its unit stands behind
  bool direct = false;          ///< one unit stands directly behind one number or parenthesis
  const Unit* first = nullptr;  ///< first unit written in it; nullptr: bare
  const Unit* last = nullptr;   ///< last unit written in it
};

/// The whole of the tokens as one sum.
///   out    value in the kind's own unit: mm, deg, N, kg, or a plain number; finite, within kLargestQuantity
///   fails  the rest of the codes in docs/quantities.md
[[nodiscard]] Result<Amount> quantity_sum(const Tokens& tokens, Kind kind);

}  // namespace halfround::base
