// The words of a quantity: numbers, units and signs, with the spaces that carry meaning. Inside base/ only;
// callers use base/quantity.h. The grammar is in docs/quantities.md.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "base/quantity_units.h"

namespace halfround::base {

struct Token {
  enum class Sort { number, unit, plus, minus, hyphen, times, over, open, close, end };
  Sort sort = Sort::end;
  double value = 0;              ///< of a number
  bool whole = false;            ///< a number of digits only
  bool vulgar = false;           ///< a one-character fraction such as ½
  const Unit* unit = nullptr;    ///< of a unit
  bool spaced = false;           ///< there is space before it
  std::size_t from = 0, to = 0;  ///< bytes of `text`
};

struct Tokens {
  std::string text;        ///< what was typed, trimmed
  std::vector<Token> all;  ///< the last one is Sort::end
};

/// Cuts the text into tokens. The prime marks ' and " are minutes and seconds where an angle is wanted, feet
/// and inches everywhere else.
///   fails  quantity-empty, quantity-too-long, unexpected-character, number-malformed, ambiguous-thousands,
///          exponent, hexadecimal, not-a-number, unit-unknown
[[nodiscard]] Result<Tokens> quantity_tokens(std::string_view text, Kind kind);

}  // namespace halfround::base
