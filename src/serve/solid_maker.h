// Solids made in a process of their own: the geometry library can't be interrupted, and nothing it does, an
// endless loop or a crash, may hold up or end this one. docs/solids.md says how long it may take. Safe to
// call from several threads.
#pragma once

#include <chrono>
#include <list>
#include <mutex>
#include <string>
#include <utility>

#include "base/result.h"

namespace halfround::serve {

/// What is asked for.
enum class SolidFile {
  step,  ///< STEP; every part has passed the library's own check
  glb,   ///< GLB; the same
  view   ///< GLB for looking at, unchecked
};

/// The program that makes them: this one where it is `halfround`, else the `halfround` beside it.
[[nodiscard]] std::string solids_program();

class SolidMaker {
 public:
  /// in  program  started with the one word kSolidsWord when first needed;  patience  for one file
  explicit SolidMaker(std::string program = solids_program(),
                      std::chrono::milliseconds patience = std::chrono::seconds(20))
      : program_(std::move(program)), patience_(patience) {}
  ~SolidMaker();
  SolidMaker(const SolidMaker&) = delete;
  SolidMaker& operator=(const SolidMaker&) = delete;

  /// in   job_text  of a job that is solved here already
  ///   fails  those of solids and to_step; solid-too-slow, solid-stopped: what stopped once is not tried
  ///   again
  ///          soon; solid-busy: others were before; solid-no-program
  [[nodiscard]] base::Result<std::string> make(SolidFile file, const std::string& job_text);

 private:
  struct Failed {
    SolidFile file;
    std::string text;
    base::Problem problem;
  };
  [[nodiscard]] base::Result<void> begin();
  void end();
  [[nodiscard]] base::Result<std::string> ask(SolidFile file, const std::string& job_text);

  std::string program_;
  std::chrono::milliseconds patience_;
  std::timed_mutex one_;  ///< guards all below
  int socket_ = -1, process_ = -1;
  std::list<Failed> failed_;
};

}  // namespace halfround::serve
