#include "base/quantity_lexer.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <optional>

namespace halfround::base {

namespace {

using Sort = Token::Sort;

// signs of one character
struct Sign {
  std::string_view spelt;
  Sort sort;
};
constexpr std::array kSigns{
    Sign{"+", Sort::plus},   Sign{"-", Sort::hyphen}, Sign{"‐", Sort::hyphen}, Sign{"‑", Sort::hyphen},
    Sign{"–", Sort::hyphen}, Sign{"−", Sort::minus},  Sign{"*", Sort::times},  Sign{"×", Sort::times},
    Sign{"·", Sort::times},  Sign{"/", Sort::over},   Sign{"⁄", Sort::over},   Sign{"÷", Sort::over},
    Sign{"(", Sort::open},   Sign{")", Sort::close},
};
constexpr std::array<std::string_view, 2> kDegrees{"°", "º"};  // the second is the Spanish ordinal sign
constexpr std::array<std::string_view, 3> kPrimes{"'", "′", "’"};
constexpr std::array<std::string_view, 3> kDoublePrimes{"\"", "″", "”"};
constexpr std::array<std::string_view, 4> kSpaces{"\u00a0", "\u2009", "\u202f", "\u2007"};

struct Vulgar {
  std::string_view spelt;
  int over, under;
};
constexpr std::array kVulgars{
    Vulgar{"½", 1, 2}, Vulgar{"¼", 1, 4}, Vulgar{"¾", 3, 4}, Vulgar{"⅛", 1, 8}, Vulgar{"⅜", 3, 8},
    Vulgar{"⅝", 5, 8}, Vulgar{"⅞", 7, 8}, Vulgar{"⅓", 1, 3}, Vulgar{"⅔", 2, 3}, Vulgar{"⅙", 1, 6},
    Vulgar{"⅚", 5, 6}, Vulgar{"⅕", 1, 5}, Vulgar{"⅖", 2, 5}, Vulgar{"⅗", 3, 5}, Vulgar{"⅘", 4, 5},
};

bool digit(char c) {
  return c >= '0' && c <= '9';
}
bool letter(char c) {
  return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z');
}
char small(char c) {
  return c >= 'A' && c <= 'Z' ? static_cast<char>(c - 'A' + 'a') : c;
}

// length in bytes of the well-formed UTF-8 character at the front; 0 where there is none
std::size_t character(std::string_view text) {
  const auto byte = [&](std::size_t i) { return static_cast<unsigned char>(text[i]); };
  const unsigned char lead = byte(0);
  if (lead < 0x80) return lead < 0x20 && lead != '\t' ? 0 : (lead == 0x7f ? 0 : 1);
  const std::size_t size = lead >= 0xc2 && lead < 0xe0   ? 2
                           : lead >= 0xe0 && lead < 0xf0 ? 3
                           : lead >= 0xf0 && lead < 0xf5 ? 4
                                                         : 0;
  if (size == 0 || text.size() < size) return 0;
  for (std::size_t i = 1; i < size; ++i)
    if ((byte(i) & 0xc0) != 0x80) return 0;
  // overlong forms, surrogates, beyond the last plane, and the C1 controls
  if ((lead == 0xe0 && byte(1) < 0xa0) || (lead == 0xed && byte(1) > 0x9f)) return 0;
  if ((lead == 0xf0 && byte(1) < 0x90) || (lead == 0xf4 && byte(1) > 0x8f)) return 0;
  if (lead == 0xc2 && byte(1) < 0xa0) return 0;
  return size;
}

// bytes of space at the front
std::size_t space(std::string_view text) {
  if (text.starts_with(' ') || text.starts_with('\t')) return 1;
  for (const auto& wide : kSpaces)
    if (text.starts_with(wide)) return wide.size();
  return 0;
}

std::string_view trimmed(std::string_view text) {
  const auto edge = [](char c) { return c == ' ' || c == '\t' || c == '\n' || c == '\r'; };
  bool again = true;
  while (again) {
    again = false;
    while (!text.empty() && edge(text.front())) text.remove_prefix(1), again = true;
    while (!text.empty() && edge(text.back())) text.remove_suffix(1), again = true;
    for (const auto& wide : kSpaces) {
      if (text.starts_with(wide)) text.remove_prefix(wide.size()), again = true;
      if (text.ends_with(wide)) text.remove_suffix(wide.size()), again = true;
    }
  }
  return text;
}

class Lexer {
 public:
  Lexer(std::string_view text, Kind kind) : text_(text), kind_(kind) {}

  Result<std::vector<Token>> run() {
    while (true) {
      const bool spaced = skip_space();
      const std::size_t from = at_;
      Result<Token> token = next();
      if (!token) return tl::unexpected(token.error());
      token->spaced = spaced;
      token->from = from;
      token->to = at_;
      tokens_.push_back(*token);
      if (token->sort == Sort::end) return tokens_;
    }
  }

 private:
  bool skip_space() {
    const std::size_t from = at_;
    while (const std::size_t n = space(rest())) at_ += n;
    return at_ > from;
  }

  Result<Token> next() {
    if (rest().empty()) return Token{};
    if (digit(rest()[0]) || ((rest()[0] == '.' || rest()[0] == ',') && rest().size() > 1 && digit(rest()[1])))
      return number();
    if (letter(rest()[0])) return word();
    for (const auto& vulgar : kVulgars)
      if (take(vulgar.spelt))
        return Token{.sort = Sort::number, .value = double(vulgar.over) / vulgar.under, .vulgar = true};
    for (const auto& sign : kSigns)
      if (take(sign.spelt)) return Token{.sort = sign.sort};
    if (take_any(kDegrees)) return Token{.sort = Sort::unit, .unit = unit_spelt("deg")};
    if (take_any(kDoublePrimes)) return prime(2);
    if (take_any(kPrimes)) return prime(take_any(kPrimes) ? 2 : 1);
    return refuse("unexpected-character", fmt::format("found “{}” in “{}”, which is no number, unit or sign.",
                                                      rest().substr(0, character(rest())), shown(text_)));
  }

  Token prime(int marks) { return Token{.sort = Sort::unit, .unit = unit_of_primes(marks, kind_)}; }

  Result<Token> number() {
    const std::size_t from = at_;
    while (!rest().empty() && (digit(rest()[0]) || ((rest()[0] == '.' || rest()[0] == ',') &&
                                                    rest().size() > 1 && digit(rest()[1]))))
      ++at_;
    std::string digits(text_.substr(from, at_ - from));
    if (auto wrong = tail_of_number(digits)) return tl::unexpected(*wrong);
    if (auto wrong = marks_of_number(digits)) return tl::unexpected(*wrong);
    if (auto wrong = grouped_by_space(digits)) return tl::unexpected(*wrong);

    const bool whole = std::all_of(digits.begin(), digits.end(), digit);
    std::replace(digits.begin(), digits.end(), ',', '.');
    if (digits.front() == '.') digits.insert(0, 1, '0');
    const auto value = read_number(digits);
    if (!value)
      return refuse("number-too-large", fmt::format("found {}, which is too large a number.", digits));
    return Token{.sort = Sort::number, .value = *value, .whole = whole};
  }

  // what stands right behind the digits: a lost decimal mark, an exponent, a hexadecimal prefix
  std::optional<Problem> tail_of_number(std::string_view digits) const {
    const auto after = rest();
    if (after.empty()) return std::nullopt;
    if (after[0] == '.' || after[0] == ',')
      return instead(problem("number-malformed",
                             fmt::format("found {}{} with nothing behind the mark.", digits, after[0]),
                             fmt::format("Type {} or {}.0.", digits, digits)),
                     at_ - digits.size(), digits.size() + 1, {std::string(digits)});
    const std::size_t sign = after.size() > 1 && (after[1] == '+' || after[1] == '-') ? 2 : 1;
    if (small(after[0]) == 'e' && after.size() > sign && digit(after[sign]))
      return problem("exponent", fmt::format("found “{}”, a number with an exponent.", shown(text_)),
                     "Write the number out, e.g. 1200 for 1.2e3.");
    if (digits == "0" && small(after[0]) == 'x')
      return problem("hexadecimal", fmt::format("found “{}”, a hexadecimal number.", shown(text_)),
                     "Type a decimal number, e.g. 28.6.");
    return std::nullopt;
  }

  // '.' and ',' are decimal marks; where one could as well part thousands, only the builder knows
  std::optional<Problem> marks_of_number(std::string_view digits) const {
    const auto marks = std::count_if(digits.begin(), digits.end(), [](char c) { return !digit(c); });
    if (marks == 0) return std::nullopt;
    const std::size_t first = digits.find_first_of(".,");
    const std::size_t second = digits.find_first_of(".,", first + 1);
    const bool group = first >= 1 && first <= 3 && digits[0] != '0';
    if (marks == 1) {
      if (digits[first] == '.' || !group || digits.size() - first - 1 != 3) return std::nullopt;
      return thousands(digits.substr(0, first), digits.substr(first + 1),
                       text_.substr(at_ - digits.size(), digits.size()));
    }
    if (!group || second - first - 1 != 3)
      return problem("number-malformed",
                     fmt::format("found {}, a number with {} decimal marks.", digits, marks),
                     "Type it with one mark, e.g. 28.6.");
    // the last mark may be the decimal one
    std::string plain(digits);
    const std::size_t last = plain.find_last_of(".,");
    const bool decimal = plain[last] != plain[first];
    if (decimal) plain[last] = '#';
    std::erase_if(plain, [](char c) { return c == '.' || c == ','; });
    std::replace(plain.begin(), plain.end(), '#', '.');
    return instead(problem("ambiguous-thousands",
                           fmt::format("found {}, where the marks could mean more than one thing.", digits),
                           fmt::format("Type {} if that is meant: no thousands marks.", plain)),
                   at_ - digits.size(), digits.size(), {plain});
  }

  // "12 345": three digits behind a space, unless they are the top of a fraction
  std::optional<Problem> grouped_by_space(std::string_view digits) const {
    if (digits.size() > 3 || !std::all_of(digits.begin(), digits.end(), digit)) return std::nullopt;
    std::size_t i = at_;
    while (const std::size_t n = space(text_.substr(i))) i += n;
    if (i == at_) return std::nullopt;
    std::size_t end = i;
    while (end < text_.size() && digit(text_[end])) ++end;
    if (end - i != 3) return std::nullopt;
    std::size_t after = end;
    while (after < text_.size() && space(text_.substr(after)) > 0) after += space(text_.substr(after));
    if (text_.substr(after).starts_with("/") || text_.substr(after).starts_with("⁄")) return std::nullopt;
    return thousands(digits, text_.substr(i, end - i),
                     text_.substr(at_ - digits.size(), end - at_ + digits.size()));
  }

  Problem thousands(std::string_view front, std::string_view back, std::string_view found) const {
    std::string decimals(back);
    while (!decimals.empty() && decimals.back() == '0') decimals.pop_back();
    const std::string small_one = std::string(front) + (decimals.empty() ? ".0" : "." + decimals);
    return instead(
        problem("ambiguous-thousands",
                fmt::format("found {}, which could mean {} or {}{}.", found, small_one, front, back),
                fmt::format("Type {} or {}{}.", small_one, front, back)),
        static_cast<std::size_t>(found.data() - text_.data()), found.size(),
        {small_one, std::string(front) + std::string(back)});
  }

  Result<Token> word() {
    const std::size_t from = at_;
    std::string spelt;
    for (; !rest().empty() && letter(rest()[0]); ++at_) spelt += small(rest()[0]);
    // "in." and "ft." may carry a full stop
    if (rest().starts_with('.') && (rest().size() < 2 || !digit(rest()[1]))) ++at_;
    if (const Unit* unit = unit_spelt(spelt)) return Token{.sort = Sort::unit, .unit = unit};
    const auto typed = text_.substr(from, spelt.size());
    if (spelt == "nan" || spelt == "inf" || spelt == "infinity")
      return refuse("not-a-number", fmt::format("found “{}”, which is not a number one can cut to.", typed));
    return tl::unexpected(problem("unit-unknown",
                                  fmt::format("found “{}”, which is no unit known here.", typed),
                                  fmt::format("For {} use {}.", name_of(kind_), units_of(kind_))));
  }

  bool take(std::string_view spelt) {
    if (!rest().starts_with(spelt)) return false;
    at_ += spelt.size();
    return true;
  }
  template <class Spellings>
  bool take_any(const Spellings& spellings) {
    return std::any_of(spellings.begin(), spellings.end(), [&](auto spelt) { return take(spelt); });
  }
  std::string_view rest() const { return text_.substr(at_); }
  /// The whole text with each of `readings` in the place of what can be read more than one way.
  Problem instead(Problem p, std::size_t from, std::size_t size,
                  const std::vector<std::string>& readings) const {
    for (const std::string& r : readings) {
      const std::string typed =
          std::string(text_.substr(0, from)) + r + std::string(text_.substr(from + size));
      p.offers.push_back({"", typed, typed});
    }
    return p;
  }
  static Problem problem(std::string code, std::string what, std::string fits) {
    return {.code = std::move(code), .where = {}, .what = std::move(what), .fits = std::move(fits)};
  }
  tl::unexpected<Problem> refuse(std::string code, std::string what) const {
    return tl::unexpected(problem(std::move(code), std::move(what), example_of(kind_)));
  }

  std::string_view text_;
  Kind kind_;
  std::size_t at_ = 0;
  std::vector<Token> tokens_;
};

}  // namespace

Result<Tokens> quantity_tokens(std::string_view text, Kind kind) {
  const auto refuse = [&](std::string code, std::string what) {
    return tl::unexpected(Problem{std::move(code), {}, std::move(what), example_of(kind)});
  };
  const std::string_view typed = trimmed(text);
  if (typed.empty())
    return refuse("quantity-empty", fmt::format("found nothing where {} is wanted.", name_of(kind)));
  if (typed.size() > kLongestQuantity)
    return refuse("quantity-too-long",
                  fmt::format("found {} characters where {} is wanted; at most {} are read.", typed.size(),
                              name_of(kind), kLongestQuantity));
  // from here on the text may be quoted in a sentence
  for (std::size_t i = 0; i < typed.size();) {
    const std::size_t size = character(typed.substr(i));
    if (size == 0)
      return refuse("unexpected-character",
                    fmt::format("found the byte 0x{:02X} at place {}, which is not text.",
                                static_cast<unsigned char>(typed[i]), i + 1));
    i += size;
  }
  auto all = Lexer(typed, kind).run();
  if (!all) return tl::unexpected(all.error());
  return Tokens{std::string(typed), std::move(*all)};
}

}  // namespace halfround::base
