#include "tools/commands/stop_on_signal.h"

#include <csignal>

namespace sixtyfold {

namespace {

// A signal handler can reach nothing but a global; it is set while a run goes on and only then.
std::atomic<bool>* stop_switch = nullptr;
std::atomic<bool>* ask_switch = nullptr;

// Ctrl-C, an orderly end of the machine, a window that is closed.
constexpr int stop_signals[] = {SIGINT, SIGTERM, SIGHUP};

extern "C" void ask_to_stop(int signal_number) {
  if (stop_switch) stop_switch->store(true);
  // A second Ctrl-C ends the program at once. A hang-up may come several times for one reason: as
  // many as the parent had threads.
  if (signal_number != SIGHUP) std::signal(signal_number, SIG_DFL);
}

extern "C" void take_question(int) {
  if (ask_switch) ask_switch->store(true);
}

}  // namespace

StopOnSignal::StopOnSignal(std::atomic<bool>& stop) {
  stop_switch = &stop;
  for (const int number : stop_signals)  // who ignores a closed window (nohup) goes on
    if (std::signal(number, ask_to_stop) == SIG_IGN && number == SIGHUP)
      std::signal(number, SIG_IGN);
}

StopOnSignal::~StopOnSignal() {
  for (const int number : stop_signals)
    if (std::signal(number, SIG_DFL) == SIG_IGN) std::signal(number, SIG_IGN);
  stop_switch = nullptr;
}

AskOnSignal::AskOnSignal(std::atomic<bool>& asked) {
  ask_switch = &asked;
  std::signal(SIGUSR1, take_question);
}

AskOnSignal::~AskOnSignal() {
  std::signal(SIGUSR1, SIG_IGN);
  ask_switch = nullptr;
}

}  // namespace sixtyfold
