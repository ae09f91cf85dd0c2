kerfkiln_bench(command_bench SOURCES command_bench.cpp LIBS)
target_compile_definitions(command_bench PRIVATE KERFKILN_SOURCE_DIR="${CMAKE_SOURCE_DIR}"
  KERFKILN_BIN_DIR="${CMAKE_RUNTIME_OUTPUT_DIRECTORY}")
add_dependencies(command_bench kerfkiln)
