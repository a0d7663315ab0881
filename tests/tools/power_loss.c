/* A power cut without one: preloaded into a program, it notes in the file named by POWER_LOSS_LOG
   which files were written and which of them were brought to the disk. tests/tools/kill_and_resume
   then empties what a cut would have taken: a file renamed into its place before its bytes were
   safe. Lines: "w PATH" written, "s PATH" synced, "r FROM TO" renamed, "y" all synced. */
#define _GNU_SOURCE
#include <dlfcn.h>
#include <fcntl.h>
#include <limits.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/types.h>
#include <unistd.h>

static void note(const char* kind, const char* first, const char* second) {
  const char* log = getenv("POWER_LOSS_LOG");
  if (!log) return;
  int (*real_open)(const char*, int, ...) = (int (*)(const char*, int, ...))dlsym(RTLD_NEXT, "open");
  char line[3 * PATH_MAX];
  const int length = snprintf(line, sizeof line, "%s %s%s%s\n", kind, first, *second ? " " : "", second);
  const int file = real_open(log, O_WRONLY | O_CREAT | O_APPEND, 0666);
  if (file < 0) return;
  if (write(file, line, (size_t)length) < 0) abort();
  close(file);
}

static void path_of(int descriptor, char* path) {
  char link[64];
  snprintf(link, sizeof link, "/proc/self/fd/%d", descriptor);
  const ssize_t length = readlink(link, path, PATH_MAX - 1);
  path[length > 0 ? length : 0] = 0;
}

static int open_noted(const char* name, const char* path, int flags, mode_t mode) {
  int (*real)(const char*, int, ...) = (int (*)(const char*, int, ...))dlsym(RTLD_NEXT, name);
  const int descriptor = real(path, flags, mode);
  if (descriptor >= 0 && (flags & O_CREAT)) {
    char whole[PATH_MAX];
    path_of(descriptor, whole);
    note("w", whole, "");
  }
  return descriptor;
}

int open(const char* path, int flags, ...) {
  va_list rest;
  va_start(rest, flags);
  const mode_t mode = flags & O_CREAT ? va_arg(rest, mode_t) : 0;
  va_end(rest);
  return open_noted("open", path, flags, mode);
}

int open64(const char* path, int flags, ...) {
  va_list rest;
  va_start(rest, flags);
  const mode_t mode = flags & O_CREAT ? va_arg(rest, mode_t) : 0;
  va_end(rest);
  return open_noted("open64", path, flags, mode);
}

int fsync(int descriptor) {
  int (*real)(int) = (int (*)(int))dlsym(RTLD_NEXT, "fsync");
  char path[PATH_MAX];
  path_of(descriptor, path);
  const int result = real(descriptor);
  if (result == 0) note("s", path, "");
  return result;
}

int syncfs(int descriptor) {
  int (*real)(int) = (int (*)(int))dlsym(RTLD_NEXT, "syncfs");
  const int result = real(descriptor);
  if (result == 0) note("y", "", "");
  return result;
}

int rename(const char* from, const char* to) {
  int (*real)(const char*, const char*) =
      (int (*)(const char*, const char*))dlsym(RTLD_NEXT, "rename");
  char whole_from[PATH_MAX] = "", whole_to[PATH_MAX] = "";
  if (!realpath(from, whole_from)) whole_from[0] = 0;
  const int result = real(from, to);
  if (!realpath(to, whole_to)) whole_to[0] = 0;
  if (result == 0) note("r", whole_from, whole_to);
  return result;
}
