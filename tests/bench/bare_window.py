"""A bare PySide6 window with an empty drawing in it, gone after its first paint."""

import sys

from PySide6.QtCore import QTimer
from PySide6.QtWidgets import QApplication, QGraphicsScene, QGraphicsView, QMainWindow

application = QApplication(sys.argv)
window = QMainWindow()
scene = QGraphicsScene()
window.setCentralWidget(QGraphicsView(scene))
window.resize(1280, 800)
window.show()
application.processEvents()
QTimer.singleShot(0, application.quit)
application.exec()
