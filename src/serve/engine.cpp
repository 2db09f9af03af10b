#include "serve/engine.h"

#include <algorithm>
#include <chrono>
#include <iterator>

#include "exchange/exchange.h"
#include "job/read.h"
#include "job/revision_words.h"
#include "solve/offer.h"

namespace halfround::serve {

using base::Result;

namespace {

constexpr std::uint64_t kLightDraws = 2'000;  // chances to a few percent, in a tenth of the time
constexpr std::size_t kRemembered = 6;        // an answer with all its studies is some hundred kilobytes
constexpr std::size_t kForeseen = 32;         // one without its studies a tenth of that

double since(std::chrono::steady_clock::time_point start) {
  return std::chrono::duration<double, std::milli>(std::chrono::steady_clock::now() - start).count();
}

/// Read, laid out and mitred.
std::unique_ptr<Worked> laid_out(const std::string& text) {
  const auto start = std::chrono::steady_clock::now();
  auto out = std::make_unique<Worked>();
  out->text = text;
  if (auto read = job::read_job(text, "job")) {
    out->job = std::move(*read);
    if (auto answer = solve::laid_out(*out->job)) {
      answer->revision = job::revision_of(text);
      out->answer = std::move(*answer);
    } else {
      out->problems = {std::move(answer.error())};
    }
  } else {
    out->problems = std::move(read.error());
  }
  out->milliseconds = since(start);
  return out;
}

/// All that a view says beside its pages.
void add_rest(Worked& w) {
  const auto start = std::chrono::steady_clock::now();
  if (auto fields = job::fields_of(w.text, "job")) w.fields = std::move(*fields);
  // what would fit is tried only for what is looked at, not for what is foreseen
  if (w.job && !w.answer) {
    for (base::Problem& p : w.problems) p = solve::with_offers(*w.job, std::move(p));
  }
  if (!w.job) w.problems = solve::with_offers(w.text, std::move(w.problems));
  if (w.answer) {
    // what more metal would bring stands on the check sheet only
    const solve::SolveOptions how{.changes = !w.light,
                                  .draws = w.light ? kLightDraws : solve::SolveOptions{}.draws,
                                  .shop = w.shop.get()};
    if (const auto added = solve::add_studies(*w.job, how, *w.answer); !added) {
      w.answer.reset();
      w.problems = {added.error()};
    }
  }
  w.milliseconds += since(start);
}

}  // namespace

void Engine::set_shop(shop::Shop shop) {
  auto made = std::make_shared<const shop::Shop>(std::move(shop));
  const std::lock_guard lock(memory_);
  shop_ = std::move(made);
  remembered_.clear();
}

std::shared_ptr<const Worked> Engine::remembered(const std::string& text, bool light) {
  const std::lock_guard lock(memory_);
  for (auto at = remembered_.begin(); at != remembered_.end(); ++at) {
    if ((*at)->text != text || ((*at)->light && !light)) continue;
    remembered_.splice(remembered_.begin(), remembered_, at);
    return remembered_.front();
  }
  return nullptr;
}

std::unique_ptr<Worked> Engine::foreseen(const std::string& text) {
  const std::lock_guard lock(memory_);
  const auto at = std::ranges::find_if(foreseen_, [&](const auto& w) { return w->text == text; });
  if (at == foreseen_.end()) return nullptr;
  std::unique_ptr<Worked> out = std::move(*at);
  foreseen_.erase(at);
  return out;
}

std::shared_ptr<const Worked> Engine::work(const std::string& text, bool light, const LaidOut& told) {
  if (auto known = remembered(text, light)) return known;
  std::shared_ptr<Worked> out = foreseen(text);
  if (!out) out = laid_out(text);
  if (out->answer && told && !told(*out)) return nullptr;
  {
    const std::lock_guard lock(memory_);
    out->shop = shop_, out->light = light;
  }
  add_rest(*out);
  const std::lock_guard lock(memory_);
  if (out->shop != shop_) return out;  // another shop meanwhile: it is of no use to anybody else
  std::erase_if(remembered_, [&](const auto& w) { return w->text == text && w->light; });
  remembered_.push_front(out);
  if (remembered_.size() > kRemembered) remembered_.pop_back();
  return out;
}

void Engine::foresee(const std::string& text, const std::function<void(const Worked& worked)>& drawn) {
  if (const auto known = remembered(text, true)) return drawn(*known);
  std::unique_ptr<Worked> made = foreseen(text);
  if (!made) made = laid_out(text);
  drawn(*made);
  const std::lock_guard lock(memory_);
  foreseen_.push_front(std::move(made));
  if (foreseen_.size() > kForeseen) foreseen_.pop_back();
}

solve::ShopPlan Engine::plan(const Worked& worked) {
  return solve::shop_plan(*worked.job, *worked.answer, *worked.shop);
}

Result<Engine::Book> Engine::book(const Worked& worked, std::int64_t revision) {
  {
    const std::lock_guard lock(memory_);
    if (book_ && book_text_ == worked.text && book_revision_ == revision && book_shop_ == worked.shop)
      return book_;
  }
  solve::Answer answer = *worked.answer;
  answer.revision = job::revision_words(revision, worked.text);
  const solve::ShopPlan made = plan(worked);
  auto files = sheet::make_book(*worked.job, answer, &made);
  if (!files) return tl::unexpected(files.error());
  std::ranges::move(exchange::exchange_files(*worked.job, answer, &made, *worked.shop),
                    std::back_inserter(*files));
  auto out = std::make_shared<const std::vector<sheet::File>>(std::move(*files));
  const std::lock_guard lock(memory_);
  book_ = out, book_text_ = worked.text, book_revision_ = revision, book_shop_ = worked.shop;
  return out;
}

Result<std::string> Engine::glb(const Worked& worked) {
  return solids_.make(SolidFile::view, worked.text);
}

}  // namespace halfround::serve
