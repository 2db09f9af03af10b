// Drawings made to be large: refused while they are read, in little memory and time.
#include <fmt/format.h>
#include <gtest/gtest.h>
#include <sys/resource.h>
#include <sys/wait.h>
#include <unistd.h>

#include <chrono>
#include <cmath>
#include <functional>

#include "trace/shapes.h"

namespace halfround::trace {
namespace {

#if defined(__SANITIZE_ADDRESS__)
constexpr bool kSanitized = true;
#elif defined(__has_feature)
constexpr bool kSanitized = __has_feature(address_sanitizer);
#else
constexpr bool kSanitized = false;
#endif

/// `piece` over and over, up to some bytes.
std::string filled(const std::string& head, const std::function<std::string(int)>& piece,
                   const std::string& tail, std::size_t bytes) {
  std::string out;
  out.reserve(bytes + 100);
  out += head;
  for (int i = 0; out.size() + tail.size() < bytes; ++i) out += piece(i);
  out += tail;
  return out;
}
std::string again(const std::string& head, const std::string& piece, const std::string& tail,
                  std::size_t bytes) {
  return filled(
      head, [&](int) { return piece; }, tail, bytes);
}

struct Cost {
  double megabytes = 0, seconds = 0;
  int code = 0;  ///< 0 understood, 1 trace-too-many, 2 another refusal
};
/// In a process of its own, so that its memory can be told.
Cost cost_of(const std::function<std::string()>& text, const std::string& file) {
  const auto start = std::chrono::steady_clock::now();
  const pid_t child = ::fork();
  if (child == 0) {
    const auto got = understand(text(), file, {});
    ::_exit(got ? 0 : got.error().code == "trace-too-many" ? 1 : 2);
  }
  int status = 0;
  rusage used{};
  ::wait4(child, &status, 0, &used);
  const double processor = static_cast<double>(used.ru_utime.tv_sec + used.ru_stime.tv_sec) +
                           1e-6 * static_cast<double>(used.ru_utime.tv_usec + used.ru_stime.tv_usec);
  const double wall = std::chrono::duration<double>(std::chrono::steady_clock::now() - start).count();
  return {static_cast<double>(used.ru_maxrss) / 1024, std::min(processor, wall),
          WIFEXITED(status) ? WEXITSTATUS(status) : 128 + WTERMSIG(status)};
}

constexpr std::size_t kSmall = 4'400'000, kLargest = 64'000'000;
const std::string kDxf = "0\nSECTION\n2\nENTITIES\n", kEnd = "0\nENDSEC\n0\nEOF\n";
const std::string kSvg = "<svg width=\"100mm\" viewBox=\"0 0 100 100\">", kSvgEnd = "</svg>";

TEST(LargeDrawings, NoneTakesMoreThanHalfAGigabyteAndFiveSeconds) {
  const auto line = [](int i) {
    // grows at its head and its tail by turns
    const int a = i % 2 == 0 ? i / 2 : -i / 2 - 1, b = i % 2 == 0 ? a + 1 : a + 1;
    return fmt::format("0\nLINE\n10\n{}\n20\n0\n11\n{}\n21\n0\n", a, b);
  };
  struct Try {
    const char* what;
    std::string file;
    std::function<std::string()> text;  ///< made in the child: what it takes is its own
  };
  const std::vector<Try> all{
      {"4.4 MB of huge bulges", "a.dxf",
       [=] {
         return again(kDxf + "0\nLWPOLYLINE\n70\n0\n", "10\n0\n20\n0\n42\n1\n10\n900000\n20\n0\n42\n1\n",
                      kEnd, kSmall);
       }},
      {"4.4 MB of huge circles", "a.dxf",
       [=] { return again(kDxf, "0\nCIRCLE\n10\n0\n20\n0\n40\n900000\n", kEnd, kSmall); }},
      {"huge circles", "a.dxf",
       [=] { return again(kDxf, "0\nCIRCLE\n10\n0\n20\n0\n40\n900000\n", kEnd, kLargest); }},
      {"lines apart", "a.dxf",
       [=] {
         return filled(
             kDxf, [](int i) { return fmt::format("0\nLINE\n10\n{}\n20\n0\n11\n{}\n21\n5\n", 3 * i, 3 * i); },
             kEnd, kLargest);
       }},
      {"lines at both ends by turns", "a.dxf", [=] { return filled(kDxf, line, kEnd, kLargest); }},
      {"90 000 lines at both ends by turns", "a.dxf", [=] { return filled(kDxf, line, kEnd, 2'900'000); }},
      {"five hundred lines, none touching", "a.dxf",
       [=] {
         return filled(
             kDxf, [](int i) { return fmt::format("0\nLINE\n10\n{}\n20\n0\n11\n{}\n21\n5\n", 3 * i, 3 * i); },
             kEnd, 19'000);
       }},
      {"vertices", "a.dxf",
       [=] { return again(kDxf + "0\nPOLYLINE\n", "0\nVERTEX\n10\n1\n20\n2\n", kEnd, kLargest); }},
      {"a long layer", "a.dxf",
       [=] {
         return again(kDxf + "0\nLINE\n8\n" + std::string(20'000'000, 'l') + "\n", "0\nLINE\n8\n\n11\n9\n",
                      kEnd, kLargest);
       }},
      {"circles", "a.svg", [=] { return again(kSvg, "<circle r=\"9\"/>", kSvgEnd, kLargest); }},
      {"arcs", "a.svg",
       [=] {
         return again(kSvg + "<path d=\"M0 0", "A1 1 0 0 1 9e8 9e8A1 1 0 0 1 0 0", "\"/>" + kSvgEnd, kSmall);
       }},
      {"bends", "a.svg",
       [=] { return again(kSvg + "<path d=\"M0 0", "C9e8 0 0 9e8 1 1", "\"/>" + kSvgEnd, kSmall); }},
      {"empty groups", "a.svg", [=] { return again(kSvg, "<g/>", kSvgEnd, kLargest); }},
      {"attributes", "a.svg", [=] { return again(kSvg + "<g ", "a=\"\" ", "/>" + kSvgEnd, kLargest); }},
      {"empty lines", "a.svg",
       [=] { return again(kSvg, "\n", "<path d=\"M0 0L1 1\"/>" + kSvgEnd, kLargest); }},
      {"a long id", "a.svg",
       [=] {
         return again(kSvg + "<path id=\"" + std::string(1'000'000, 'i') + "\" d=\"", "M0 0L1 1",
                      "\"/>" + kSvgEnd, kLargest);
       }},
      {"points", "a.svg",
       [=] { return again(kSvg + "<polyline points=\"", "1 1 ", "\"/>" + kSvgEnd, kLargest); }},
      {"half a million elements", "a.svg",
       [=] { return again(kSvg, "<g a='' b='' c='' d=''/>", kSvgEnd, 11'900'000); }},
      {"an embedded picture", "a.svg",
       [=] {
         return again(kSvg + "<image href=\"", "AAAA", "\"/><path d=\"M0 0L1 1\"/>" + kSvgEnd, kLargest);
       }},
      {"a table", "a.csv", [=] { return again("x (mm),y (mm)\n", "1,2\n", "", kLargest); }},
      {"1.4 million points, all worked with", "a.csv",
       [=] {
         return filled(
             "x (mm),y (mm)\n",
             [](int n) {
               const base::Vec2 e = base::unit_at(2 * base::kPi * n / 1'400'000);
               return n < 1'400'000 ? fmt::format("{:.4f},{:.4f}\n", 11 * e.x(), 14 * e.y())
                                    : std::string("\n");
             },
             "", 22'000'000);
       }},
      {"a table of empty lines", "a.csv", [=] { return again("x (mm),y (mm)\n", "\n", "1,2\n", kLargest); }},
      {"one long row", "a.csv", [=] { return again("", "7", "", kLargest); }},
  };
  for (const Try& t : all) {
    const Cost cost = cost_of(t.text, t.file);
    std::cout << fmt::format("{:<40} {:5.0f} MB, {:.2f} s, {}\n", t.what, cost.megabytes, cost.seconds,
                             cost.code == 0   ? "understood"
                             : cost.code == 1 ? "too many"
                                              : "refused");
    EXPECT_LE(cost.code, 2) << t.what;
    if (kSanitized) continue;  // shadow memory and checks are not the program's own
    EXPECT_LT(cost.seconds, 5) << t.what;
    EXPECT_LT(cost.megabytes, 500) << t.what;
  }
}

}  // namespace
}  // namespace halfround::trace
