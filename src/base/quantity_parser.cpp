#include "base/quantity_parser.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace halfround::base {

namespace {

using Sort = Token::Sort;
using Refusal = tl::unexpected<Problem>;

// Recursion happens at parentheses only and stops at kDeepestNesting.
class Parser {
 public:
  Parser(const Tokens& tokens, Kind kind) : tokens_(tokens), kind_(kind) {}

  Result<Amount> whole() {
    const auto sum = this->sum();
    if (!sum) return sum;
    if (peek().sort == Sort::close)
      return refuse("parenthesis-stray", fmt::format("found “{}” with a “)” that closes nothing.", quoted()),
                    "Leave it out, or open it with a “(”.");
    if (peek().sort != Sort::end) return missing_operator();
    if (!(std::abs(sum->value) <= kLargestQuantity)) return too_large();
    return sum;
  }

 private:
  // sum = product { (+|-) product }
  Result<Amount> sum() {
    struct Term {
      Amount amount;
      std::size_t from, to;  // tokens
    };
    std::vector<Term> terms;
    double sign = 1;
    while (true) {
      const std::size_t from = at_;
      auto term = product();
      if (!term) return term;
      term->value *= sign;
      terms.push_back({*term, from, at_});
      const Sort next = peek().sort;
      if (next != Sort::plus && next != Sort::minus && next != Sort::hyphen) break;
      sign = next == Sort::plus ? 1 : -1;
      ++at_;
    }
    if (terms.size() == 1) return terms[0].amount;

    // a bare term takes the nearest unit to its right
    const Unit* right = nullptr;
    for (auto term = terms.rbegin(); term != terms.rend(); ++term) {
      Amount& amount = term->amount;
      if (amount.first == nullptr && right != nullptr) {
        if (!right->spreads) return missing_unit(term->from, term->to);
        amount.value *= right->scale;
        amount.first = amount.last = right;
      }
      right = amount.first;
    }
    // with none to its right it is in the kind's own unit; not so behind an inch, where nobody could tell
    const Unit* left = nullptr;
    Amount total;
    for (const Term& term : terms) {
      if (term.amount.first == nullptr && left != nullptr && left->scale != 1)
        return missing_unit(term.from, term.to);
      if (term.amount.last != nullptr) left = term.amount.last;
      if (total.first == nullptr) total.first = term.amount.first;
      total.value += term.amount.value;
    }
    total.last = left;
    return finite(total);
  }

  // product = factor { (*|/) factor }
  Result<Amount> product() {
    auto total = factor();
    while (total && (peek().sort == Sort::times || peek().sort == Sort::over)) {
      const bool over = next().sort == Sort::over;
      const auto by = factor();
      if (!by) return by;
      total = over ? divided(*total, *by) : multiplied(*total, *by);
    }
    return total;
  }

  Result<Amount> multiplied(const Amount& a, const Amount& b) const {
    if (a.first != nullptr && b.first != nullptr)
      return refuse(
          "product-of-units",
          fmt::format("found “{}”, which multiplies {} by {}.", quoted(), name_of(kind_), name_of(kind_)),
          "Multiply by a plain number.");
    return finite({.value = a.value * b.value,
                   .first = a.first != nullptr ? a.first : b.first,
                   .last = a.last != nullptr ? a.last : b.last});
  }

  // 3/4 in is (3/4) in: the unit behind the last number of a bare quotient belongs to the quotient
  Result<Amount> divided(const Amount& a, const Amount& b) const {
    const bool behind = b.first != nullptr && b.direct && a.first == nullptr;
    if (b.first != nullptr && !behind)
      return refuse("division-by-unit",
                    fmt::format("found “{}”, which divides by {}.", quoted(), name_of(kind_)),
                    "Divide by a plain number.");
    const double divisor = behind ? b.number : b.value;
    if (divisor == 0) return by_zero();
    if (!behind) return finite({.value = a.value / divisor, .first = a.first, .last = a.last});
    const double number = a.value / divisor;
    return finite({.value = number * b.first->scale, .first = b.first, .last = b.last});
  }

  // factor = { + | - } ( mixed | "(" sum ")" ) [ unit { mixed unit } ]
  Result<Amount> factor() {
    double sign = 1;
    for (; peek().sort == Sort::plus || peek().sort == Sort::minus || peek().sort == Sort::hyphen; ++at_)
      if (peek().sort != Sort::plus) sign = -sign;
    const std::size_t from = at_;
    const bool open = peek().sort == Sort::open;
    auto amount = open ? parenthesis() : mixed();
    if (amount && peek().sort == Sort::unit) amount = with_unit(*amount, from, !open);
    if (!amount) return amount;
    const Token& after = peek();
    if (after.sort == Sort::number || after.sort == Sort::open) return missing_operator();
    amount->value *= sign;
    amount->number *= sign;
    return amount;
  }

  Result<Amount> parenthesis() {
    if (depth_ == kDeepestNesting)
      return refuse("nesting-too-deep",
                    fmt::format("found more than {} parentheses inside one another.", kDeepestNesting),
                    "Write it with fewer.");
    ++at_, ++depth_;
    auto inside = sum();
    if (!inside) return inside;
    if (peek().sort == Sort::end)
      return refuse("parenthesis-open", fmt::format("found “{}” with a “(” that is never closed.", quoted()),
                    "Close it with a “)”.");
    if (peek().sort != Sort::close) return missing_operator();
    ++at_, --depth_;
    inside->direct = false;
    return inside;
  }

  // 1 1/8, 1-1/8 (no space), 1½, 1 ½, or one number
  Result<Amount> mixed() {
    if (peek().sort != Sort::number)
      return refuse("number-missing", fmt::format("found “{}” with no number {}.", quoted(), spot()));
    const Sort before = at_ > 0 ? tokens_.all[at_ - 1].sort : Sort::end;
    const Token& whole = next();
    const Amount alone{.value = whole.value};
    if (!whole.whole) return alone;
    const bool tight = peek().sort == Sort::hyphen && !peek().spaced && !peek(1).spaced;
    const std::size_t skip = tight ? 1 : 0;
    const Token &top = peek(skip), &slash = peek(skip + 1), &bottom = peek(skip + 2);
    const bool vulgar = top.sort == Sort::number && top.vulgar;
    const bool fraction = !vulgar && top.sort == Sort::number && top.whole && slash.sort == Sort::over &&
                          bottom.sort == Sort::number && bottom.whole;
    if (!vulgar && !fraction) return alone;
    const bool proper = vulgar || top.value < bottom.value;
    if (tight && (!proper || (fraction && (slash.spaced || bottom.spaced)))) return alone;
    // 3/4-1/8 is a difference, 10+2-1/8 is anybody's guess, and nothing is divided by a mixed number
    if (before == Sort::over && !whole.spaced && tight) return alone;
    if (before == Sort::over && !tight && top.spaced) return alone;
    const std::size_t begin = at_ - 1, middle = at_ + skip, end = middle + (vulgar ? 1 : 3);
    const bool doubtful =
        before == Sort::over || ((before == Sort::plus || before == Sort::times) && !whole.spaced);
    if (tight && doubtful)
      return two_readings(words(begin, end), words(begin, begin + 1), words(middle, end));
    if (fraction && bottom.value == 0) return by_zero();
    if (!proper)
      return refuse("fraction-not-proper",
                    fmt::format("found {}, where the fraction is one or more.", words(begin, end)),
                    "Type a mixed number such as 1 1/8, or put a + between.");
    at_ = end;
    return finite({.value = whole.value + (vulgar ? top.value : top.value / bottom.value)});
  }

  // 1.5, 1 1/2 or 3/4 in front of the unit of a compound's later part
  Result<Amount> part_number() {
    const std::size_t begin = at_;
    auto number = mixed();
    const bool fraction = number && at_ == begin + 1 && tokens_.all[begin].whole &&
                          peek().sort == Sort::over && peek(1).whole && peek(2).sort == Sort::unit;
    if (!fraction) return number;
    if (peek(1).value == 0) return by_zero();
    number->value /= peek(1).value;
    at_ += 2;
    return finite(*number);
  }

  // `from` is the first token of the number
  Result<Amount> with_unit(const Amount& bare, std::size_t from, bool may_go_on) {
    const Unit* unit = next().unit;
    if (unit->kind != kind_) return wrong_kind(*unit, from);
    const bool second = peek().sort == Sort::unit;
    if (bare.first != nullptr || second)
      return refuse("unit-twice", fmt::format("found {} with more than one unit.", words(from, at_ + second)),
                    "Leave one unit.");
    auto total = finite({.value = bare.value * unit->scale,
                         .number = bare.value,
                         .direct = true,
                         .first = unit,
                         .last = unit});
    // feet go on with inches, degrees with minutes and these with seconds
    double part = bare.value;
    for (bool more = may_go_on && total && unit->rank > 0; more;) {
      const auto smaller = smaller_part(*total->last, part, from);
      if (!smaller) return smaller;
      more = smaller->last != nullptr;
      if (!more) break;
      total->value += smaller->value;
      total->last = smaller->last;
      total->direct = false;
      part = smaller->number;
    }
    return total;
  }

  // The part that follows `part` units `above` in a compound that began at token `from`; bare where none
  // follows.
  Result<Amount> smaller_part(const Unit& above, double part, std::size_t from) {
    const std::size_t back = at_;
    const bool hyphen = peek().sort == Sort::hyphen && !peek().spaced && !peek(1).spaced;
    if (peek(hyphen ? 1 : 0).sort != Sort::number) return Amount{};
    at_ += hyphen ? 1 : 0;
    const std::size_t begin = at_;
    auto smaller = part_number();
    if (!smaller) return smaller;
    const Unit* below = peek().sort == Sort::unit ? peek().unit : nullptr;
    const bool follows = below != nullptr && below->kind == kind_ && below->rank > above.rank;
    if (hyphen && !follows) return at_ = back, Amount{};  // an ordinary difference
    if (below == nullptr) return missing_unit(begin, at_);
    ++at_;
    if (below->kind != kind_) return wrong_kind(*below, begin);
    if (!follows) return at_ = begin, missing_operator();

    const std::string found = words(from, at_), first = words(from, back), second = words(begin, at_);
    if (hyphen) return two_readings(found, first, second);
    if (part != std::floor(part))
      return refuse("part-not-whole",
                    fmt::format("found {}, where only the last part may have a fraction.", found));
    const int most = kind_ == Kind::angle ? 60 : 12;
    if (smaller->value >= most)
      return refuse("part-too-large", fmt::format("found {}, where {} is {} or more.", found, second, most));
    return Amount{
        .value = smaller->value * below->scale, .number = smaller->value, .first = below, .last = below};
  }

  // refusals

  Refusal wrong_kind(const Unit& unit, std::size_t from) const {
    const char* code = kind_ == Kind::length  ? "length-expected"
                       : kind_ == Kind::angle ? "angle-expected"
                       : kind_ == Kind::force ? "force-expected"
                       : kind_ == Kind::mass  ? "mass-expected"
                                              : "number-expected";
    return refuse(code, fmt::format("found {}, {}, where {} is wanted.", words(from, at_), name_of(unit.kind),
                                    name_of(kind_)));
  }
  Refusal two_readings(const std::string& found, const std::string& first, const std::string& second) const {
    Refusal out = refuse("ambiguous-hyphen",
                         fmt::format("found {}, which could be one measure or a difference.", found),
                         fmt::format("Type {} {} or {} - {}.", first, second, first, second));
    const std::size_t at = tokens_.text.find(found);
    if (at == std::string::npos || tokens_.text.find(found, at + 1) != std::string::npos) return out;
    for (const char* between : {" ", " - "}) {
      std::string typed = tokens_.text;
      typed.replace(at, found.size(), first + between + second);
      out.value().offers.push_back({"", typed, typed});
    }
    return out;
  }
  Refusal by_zero() const {
    return refuse("division-by-zero", fmt::format("found “{}”, which divides by zero.", quoted()),
                  "Divide by a number other than 0.");
  }
  Refusal too_large() const {
    return refuse("number-too-large", fmt::format("found “{}”, which is too large a number.", quoted()));
  }
  Refusal missing_unit(std::size_t from, std::size_t to) const {
    return refuse("unit-missing", fmt::format("found {} without a unit in “{}”.", words(from, to), quoted()),
                  "Give every number of the sum its unit.");
  }
  Refusal missing_operator() const {
    return refuse("operator-missing",
                  fmt::format("found “{}” with nothing between {} and {}.", quoted(), words(at_ - 1, at_),
                              words(at_, at_ + 1)),
                  "Put +, -, * or / between them.");
  }
  Refusal refuse(std::string code, std::string what) const {
    return refuse(std::move(code), std::move(what), example_of(kind_));
  }
  static Refusal refuse(std::string code, std::string what, std::string fits) {
    return tl::unexpected(Problem{std::move(code), {}, std::move(what), std::move(fits)});
  }
  Result<Amount> finite(const Amount& amount) const {
    if (std::isfinite(amount.value)) return amount;
    return too_large();
  }

  std::string quoted() const { return shown(tokens_.text); }
  // what was typed, from one token to before another
  std::string words(std::size_t from, std::size_t to) const {
    const std::size_t last = std::min(to, tokens_.all.size()) - 1;
    return tokens_.text.substr(tokens_.all[from].from, tokens_.all[last].to - tokens_.all[from].from);
  }
  std::string spot() const {
    if (peek().sort == Sort::end) return "at the end";
    return fmt::format("before “{}”", words(at_, at_ + 1));
  }

  const Token& peek(std::size_t ahead = 0) const {
    return tokens_.all[std::min(at_ + ahead, tokens_.all.size() - 1)];
  }
  const Token& next() { return tokens_.all[at_++]; }

  const Tokens& tokens_;
  Kind kind_;
  std::size_t at_ = 0;
  int depth_ = 0;
};

}  // namespace

Result<Amount> quantity_sum(const Tokens& tokens, Kind kind) {
  return Parser(tokens, kind).whole();
}

}  // namespace halfround::base
