// Texts solved, the last ones remembered: looking at the same job from another side costs a drawing only.
// Safe to call from several threads.
#pragma once

#include <functional>
#include <list>
#include <memory>
#include <mutex>
#include <optional>
#include <string>
#include <vector>

#include "base/result.h"
#include "job/edit.h"
#include "job/job.h"
#include "serve/solid_maker.h"
#include "sheet/book.h"
#include "shop/shop.h"
#include "solve/shop_plan.h"
#include "solve/solve.h"

namespace halfround::serve {

/// A text and all that came of it.
struct Worked {
  std::string text;
  std::shared_ptr<const shop::Shop> shop{};  ///< it was reckoned with
  bool light = false;                        ///< chances from fewer draws, for what is still being typed
  std::vector<job::Field> fields;            ///< empty where the text can't be parsed
  std::optional<job::Job> job;               ///< nothing: it has mistakes
  std::optional<solve::Answer> answer;       ///< nothing: no such fork
  base::Problems problems;                   ///< why
  double milliseconds = 0;                   ///< what reading and solving took
};

class Engine {
 public:
  explicit Engine(shop::Shop shop) { set_shop(std::move(shop)); }
  /// in  solids  the program that makes them, and how long it may take for one
  Engine(shop::Shop shop, std::string solids, std::chrono::milliseconds patience)
      : solids_(std::move(solids), patience) {
    set_shop(std::move(shop));
  }

  /// What is asked for from now on is reckoned with this shop.
  void set_shop(shop::Shop shop);

  /// Told as soon as the fork is laid out and mitred, on the same thread; false: nobody wants its studies.
  using LaidOut = std::function<bool(const Worked& worked)>;
  /// out  null only where `told` said false
  [[nodiscard]] std::shared_ptr<const Worked> work(const std::string& text, bool light,
                                                   const LaidOut& told = {});
  /// What may be asked for next, laid out and mitred: told to `drawn`, then kept a while, so that work() has
  /// only its studies to do.
  void foresee(const std::string& text, const std::function<void(const Worked& worked)>& drawn);
  /// in  worked  with an answer
  [[nodiscard]] static solve::ShopPlan plan(const Worked& worked);
  /// Every sheet and cut file; the last job's are remembered.
  ///   in     revision  its number in the job's history, as it stands on the sheets
  ///   fails  those of make_book
  [[nodiscard]] base::Result<std::shared_ptr<const std::vector<sheet::File>>> book(const Worked& worked,
                                                                                   std::int64_t revision);
  ///   fails  those of SolidMaker
  [[nodiscard]] base::Result<std::string> glb(const Worked& worked);

 private:
  [[nodiscard]] std::shared_ptr<const Worked> remembered(const std::string& text, bool light);
  /// Null where it was not foreseen.
  [[nodiscard]] std::unique_ptr<Worked> foreseen(const std::string& text);

  using Book = std::shared_ptr<const std::vector<sheet::File>>;

  std::mutex memory_;  ///< guards all down to the last book
  std::shared_ptr<const shop::Shop> shop_;
  std::list<std::shared_ptr<const Worked>> remembered_;
  std::list<std::unique_ptr<Worked>> foreseen_;  ///< without studies; taken out while somebody looks at them
  std::string book_text_;
  std::int64_t book_revision_ = 0;
  std::shared_ptr<const shop::Shop> book_shop_;
  Book book_;
  SolidMaker solids_;
};

}  // namespace halfround::serve
