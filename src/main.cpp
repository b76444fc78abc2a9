#include "cli/cli.hpp"

int main(int argc, char** argv) {
  return firmus::run_program(argc, argv);
}
