/* Loaded before libc: bringing the log of a shop to the disk fails as often as a file says.

   SYNCFAULT names that file: "ERRNO TIMES", TIMES counted down. Everything else goes through. */
#define _GNU_SOURCE
#include <dlfcn.h>
#include <errno.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

static int fails(int descriptor) {
    char link[64], path[4096];
    const char *told = getenv("SYNCFAULT");
    snprintf(link, sizeof link, "/proc/self/fd/%d", descriptor);
    ssize_t length = readlink(link, path, sizeof path - 1);
    if (!told || length < 4 || strncmp(path + length - 4, "-wal", 4)) return 0;
    FILE *file = fopen(told, "r");
    int fault = 0, times = 0;
    if (!file) return 0;
    if (fscanf(file, "%d %d", &fault, &times) != 2) times = 0;
    fclose(file);
    if (times <= 0) return 0;
    if ((file = fopen(told, "w"))) {
        fprintf(file, "%d %d", fault, times - 1);
        fclose(file);
    }
    errno = fault;
    return 1;
}

int fsync(int descriptor) {
    int (*real)(int) = (int (*)(int))dlsym(RTLD_NEXT, "fsync");
    return fails(descriptor) ? -1 : real(descriptor);
}

int fdatasync(int descriptor) {
    int (*real)(int) = (int (*)(int))dlsym(RTLD_NEXT, "fdatasync");
    return fails(descriptor) ? -1 : real(descriptor);
}
